"""Many callers at the same moment: what each does, for the quick tests and for the long ones alike."""

import uuid
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

from tests.api import Api, Json, visit


def edit_at_once(api: Api, visit_id: str, *, writers: int, edits: int) -> Counter[int]:
    """Let writers change one visit, each from the version it has just seen; return how they were answered."""
    start = Barrier(writers)

    def write(writer: int) -> Counter[int]:
        answered: Counter[int] = Counter()
        start.wait()
        for turn in range(edits):
            seen = api.get(f"/v1/visits/{visit_id}", "heron").headers["etag"]
            body = visit(notes=f"writer {writer}, turn {turn}")
            answer = api.call("PUT", f"/v1/visits/{visit_id}", "heron", json=body, headers={"If-Match": seen})
            answered[answer.status_code] += 1
        return answered

    with ThreadPoolExecutor(writers) as pool:
        return sum(pool.map(write, range(writers)), Counter())


def hand_in_at_once(api: Api, *, callers: int) -> list[tuple[int, Json]]:
    """Send one visit many times at the same moment; return status and answer of each."""
    body = visit(visit_id=str(uuid.uuid4()))
    start = Barrier(callers)

    def send(_: int) -> tuple[int, Json]:
        start.wait()
        answer = api.post("/v1/visits", body, "heron")
        return answer.status_code, answer.json()

    with ThreadPoolExecutor(callers) as pool:
        return list(pool.map(send, range(callers)))
