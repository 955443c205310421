"""P2, for information: handing in visits that are stored for good, against threads that send the same rows.

`python -m tests.benchmarks.visit_submit [--pairs N]`. Sixteen clients at once, one worker, the sides in turn;
every commit waits for the disk on both sides.
"""

import time
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from itertools import chain

from tests.benchmarks.pairs import pairs_asked, say_machine, say_ratio, take_turns
from tests.benchmarks.raw_rows import TableRows, forget, read_rows, sender
from tests.benchmarks.servers import DATABASES, migrated_database, wadebook
from tests.benchmarks.small_network import (
    Client,
    coordinator_key,
    day,
    enter_past,
    enter_sites,
    visit_body,
)

CLIENTS = 16
SITES = [f"reed-{number:02}" for number in range(1, CLIENTS + 1)]
PAST_WEEKS = 10
VISITS, RAW_VISITS = 5, 20  # of each client in one turn
GOAL = 0.50


def main() -> None:
    pairs = pairs_asked(__doc__)
    say_machine()
    for kind in DATABASES:
        with migrated_database(kind) as url, wadebook(url) as port:
            _compare(kind, url, port, pairs)


def _compare(kind: str, url: str, port: int, pairs: int) -> None:
    key = coordinator_key(url)
    clients = [Client(port, key) for _ in SITES]
    enter_sites(clients[0], SITES)
    for site in SITES:
        enter_past(clients[0], site, PAST_WEEKS)
    body = visit_body(SITES[0], day(0), VISITS, VISITS)
    visit = read_rows(url, str(clients[0].post("/v1/visits", body)["visit_id"]))
    senders = [sender(url, visit) for _ in SITES]
    _require_same_rows(visit, read_rows(url, senders[0]()))

    def hand_in() -> float:
        bodies = {site: [visit_body(site, day(0), turn, turn) for turn in range(VISITS)] for site in SITES}
        for client in clients:
            client.reopen()

        def work(place: int) -> list[str]:
            return [str(clients[place].post("/v1/visits", body)["visit_id"]) for body in bodies[SITES[place]]]

        return _rate(url, work)

    def send() -> float:
        return _rate(url, lambda place: [senders[place]() for _ in range(RAW_VISITS)])

    sides = take_turns(("visits handed in over HTTP", hand_in), ("the same rows from threads", send), pairs)
    say_ratio(f"{CLIENTS} clients, {_rows_words(visit)}, {kind}", *sides, "visits/s", GOAL)


def _rate(url: str, work: Callable[[int], list[str]]) -> float:
    """Let all clients work at once, and take out again what they stored once the clock has stopped."""
    with ThreadPoolExecutor(CLIENTS) as threads:
        begin = time.perf_counter()
        stored = list(threads.map(work, range(CLIENTS)))
        seconds = time.perf_counter() - begin
    visits = list(chain.from_iterable(stored))
    forget(url, visits)
    return len(visits) / seconds


def _require_same_rows(visit: Sequence[TableRows], again: Sequence[TableRows]) -> None:
    assert [part.table for part in visit] == [part.table for part in again]
    for part, copy in zip(visit, again, strict=True):
        assert sorted(map(repr, part.content)) == sorted(map(repr, copy.content)), part.table


def _rows_words(visit: Sequence[TableRows]) -> str:
    return f"{sum(len(part.rows) for part in visit)} rows in {len(visit)} tables a visit"


if __name__ == "__main__":
    main()
