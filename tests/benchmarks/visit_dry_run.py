"""P3: checking and scoring a visit that is not stored, against an endpoint that ignores the same body.

`python -m tests.benchmarks.visit_dry_run [--pairs N]`. Five readings and a catch, at a site with 500 past
readings and four neighbours; one client, one worker each, the sides in turn.
"""

import json
import time

from tests.benchmarks.pairs import pairs_asked, say_machine, say_ratio, take_turns
from tests.benchmarks.servers import DATABASES, ignoring_server, migrated_database, wadebook
from tests.benchmarks.small_network import (
    Client,
    coordinator_key,
    day,
    enter_past,
    enter_sites,
    visit_body,
)

SITE, NEIGHBOURS = "reed-01", ("reed-02", "reed-03", "reed-04", "reed-05")
PAST_WEEKS, NEIGHBOUR_WEEKS = 100, 9  # five readings a week: 500 at the site
DRY_RUNS, IGNORED = 40, 400  # of each in one turn
GOAL = 0.40


def main() -> None:
    pairs = pairs_asked(__doc__)
    say_machine()
    for kind in DATABASES:
        with migrated_database(kind) as url, wadebook(url) as port, ignoring_server() as peer_port:
            _compare(kind, Client(port, coordinator_key(url)), Client(peer_port), pairs)


def _compare(kind: str, ours: Client, peer: Client, pairs: int) -> None:
    enter_sites(ours, [SITE, *NEIGHBOURS])
    for site, weeks in ((SITE, PAST_WEEKS), *((site, NEIGHBOUR_WEEKS) for site in NEIGHBOURS)):
        enter_past(ours, site, weeks)
    for site in NEIGHBOURS:
        ours.post("/v1/visits", visit_body(site, day(0), 1))
    body = visit_body(SITE, day(0), 3)
    _require_same_work(ours, peer, body)
    sides = take_turns(
        ("dry run", lambda: _rate(ours, "/v1/visits?dry_run=true", body, DRY_RUNS)),
        ("endpoint that ignores the body", lambda: _rate(peer, "/ignored", body, IGNORED)),
        pairs,
    )
    say_ratio(f"Dry run of a visit of {len(body)} bytes, {kind}", *sides, "a second", GOAL)


def _require_same_work(ours: Client, peer: Client, body: bytes) -> None:
    """Both take the whole body, and the dry run has really compared with past and neighbours."""
    assert peer.post("/ignored", body, 200) == {"bytes": len(body)}
    answer = ours.post("/v1/visits?dry_run=true", body, 200)
    wanted = json.loads(body)
    assert [row["value"] for row in answer["readings"]] == [row["value"] for row in wanted["readings"]]
    for row in answer["readings"]:
        evidence = next(check for check in row["checks"] if check["check"] == "site-outlier")["evidence"]
        assert evidence["neighbours"] == len(NEIGHBOURS), evidence
        assert evidence["references"] >= 8, evidence
    assert answer["scores"]


def _rate(client: Client, address: str, body: bytes, count: int) -> float:
    client.reopen()
    begin = time.perf_counter()
    for _ in range(count):
        client.post(address, body, 200)
    return count / (time.perf_counter() - begin)


if __name__ == "__main__":
    main()
