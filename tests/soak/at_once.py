"""Many at once: the long forms of `tests/visits/test_at_once.py`, `tests/network/test_busy_network.py`.

    python -m tests.soak.at_once [--seconds 60] [--only postgresql]

The service runs as a process of its own, on PostgreSQL as two.
"""

import argparse
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import httpx

from service.core.database import make_engine
from service.schools.tables import Role
from tests.api import Api, visit
from tests.network.busy_network import BusyNetwork
from tests.served import wadebook_serve
from tests.soak.databases import KINDS, new_database
from tests.visits.at_once import edit_at_once, hand_in_at_once

WRITERS, EDITS, CALLERS, TIMES = 8, 100, 50, 20


@contextmanager
def served_network(kind: str) -> Iterator[Api]:
    """Give the service on a new database, with a school, its key and its site."""
    more = {"workers": "2"} if kind == "postgresql" else {}
    with (
        new_database(kind) as (url, _, folder),
        wadebook_serve(folder, database_url=url, rate_per_key="0", rate_per_address="0", **more) as service,
    ):
        any_client: Any = httpx.Client(
            base_url=service.url, timeout=60, limits=httpx.Limits(max_connections=100)
        )
        with any_client:
            engine = make_engine(url)
            api = Api(any_client, engine)
            api.keys["coordinator"] = api.key(Role.COORDINATOR)
            school = {"code": "heron", "name": "Heron School", "time_zone": "America/New_York"}
            site = {"code": "reed-02", "name": "Reed", "school": "heron", "elevation_m": 120}
            for address, body in (("/v1/schools", school), ("/v1/sites", site)):
                assert api.post(address, body).status_code == 201
            api.keys["heron"] = api.key(Role.SCHOOL, "heron")
            yield api
            engine.dispose()


def edits(api: Api) -> str:
    visit_id = api.submit(visit())["visit_id"]
    answered, unseen = edit_at_once(api, visit_id, writers=WRITERS, edits=EDITS)
    final = api.get(f"/v1/visits/{visit_id}", "heron").json()["revision"]
    revisions = api.get(f"/v1/visits/{visit_id}/revisions", "heron").json()["items"]
    assert set(answered) == {200, 412}, answered
    assert sum(answered.values()) == WRITERS * EDITS
    assert answered[200] == final - 1 == len(revisions) - 1
    assert unseen == [0] * answered[200]
    return f"{WRITERS} writers, {EDITS} edits each: {answered[200]} stored, {answered[412]} refused"


def same_visit(api: Api) -> str:
    for _ in range(TIMES):
        answers = hand_in_at_once(api, callers=CALLERS)
        assert sorted(status for status, _ in answers) == [200] * (CALLERS - 1) + [201]
        assert all(answer == answers[0][1] for _, answer in answers)
    return f"{CALLERS} times the same visit at once, {TIMES} times over: {TIMES} visits"


def busy(api: Api, seconds: float) -> str:
    network = BusyNetwork(api, seed=1)
    for copy in network.live(seconds):
        copy.follow()
        assert copy.is_true()
    told = ", ".join(f"{deed} {number}" for deed, number in sorted(network.counted.items()))
    return f"copies and walks stayed true for {seconds} s: {told}"


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=float, default=60)
    parser.add_argument("--only", choices=KINDS, action="append")
    asked = parser.parse_args()
    for kind in asked.only or KINDS:
        with served_network(kind) as api:
            for told in (edits(api), same_visit(api), busy(api, asked.seconds)):
                print(f"{kind}: {told}", flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main())
