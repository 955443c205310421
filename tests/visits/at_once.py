"""Many callers at the same moment: what each does, for the quick tests and for the long ones alike."""

import uuid
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

from tests.api import Api, Json, visit


def edit_at_once(api: Api, visit_id: str, *, writers: int, edits: int) -> tuple[Counter[int], list[int]]:
    """Let writers change one visit, each from the version it has just seen.

    Returns
    -------
    tuple
        How often each status was answered, and for each edit that was stored how many revisions came between
        the version that its writer had seen and its own: those it has overwritten unseen.
    """
    start = Barrier(writers)

    def write(writer: int) -> tuple[Counter[int], list[int]]:
        answered, unseen = Counter[int](), list[int]()
        start.wait()
        for turn in range(edits):
            seen = api.get(f"/v1/visits/{visit_id}", "heron")
            body, tag = visit(notes=f"writer {writer}, turn {turn}"), {"If-Match": seen.headers["etag"]}
            answer = api.call("PUT", f"/v1/visits/{visit_id}", "heron", json=body, headers=tag)
            answered[answer.status_code] += 1
            if answer.status_code == 200:
                unseen.append(answer.json()["revision"] - seen.json()["revision"] - 1)
        return answered, unseen

    with ThreadPoolExecutor(writers) as pool:
        found = list(pool.map(write, range(writers)))
    return sum((one for one, _ in found), Counter()), [number for _, unseen in found for number in unseen]


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
