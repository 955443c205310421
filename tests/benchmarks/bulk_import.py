"""P1: a file of visits taken in over HTTP, beside the same visits one at a time and beside ready rows.

`python -m tests.benchmarks.bulk_import [--pairs N]`. One visit a line as JSON, one client, one worker, the
sides in turn: with a catch in each visit and without. Each visit is checked, scored and stored, and each line
has its fate in the answer. The peer stores the ready rows of visits in one transaction, with COPY on
PostgreSQL and with executemany on SQLite.
"""

import json
import sqlite3
import time
from collections.abc import Callable, Sequence
from uuid import UUID, uuid4

import psycopg
from sqlalchemy import make_url

from tests.benchmarks.pairs import pairs_asked, say_machine, say_ratio, take_turns
from tests.benchmarks.raw_rows import CHANGE, TableRows, forget, read_rows
from tests.benchmarks.servers import DATABASES, migrated_database, wadebook
from tests.benchmarks.small_network import (
    SCHOOL,
    Client,
    coordinator_key,
    day,
    enter_past,
    enter_sites,
    visit_body,
)

SITES = [f"reed-{number:02}" for number in range(1, 5)]
PAST_WEEKS = 20
ALONE, TOGETHER, READY = 20, 100, 1000  # visits of one turn
GOAL, FASTER = 0.30, 1.0
Store = Callable[[int], list[str]]  # stores so many visits, and gives their ids


def main() -> None:
    pairs = pairs_asked(__doc__)
    say_machine()
    for kind in DATABASES:
        with migrated_database(kind) as url, wadebook(url, rate_per_key="0") as port:
            client = Client(port, coordinator_key(url))
            enter_sites(client, SITES)
            for site in SITES:
                enter_past(client, site, PAST_WEEKS)
            for with_catch in (True, False):
                _compare(kind, url, client, pairs, with_catch)


def _compare(kind: str, url: str, client: Client, pairs: int, with_catch: bool) -> None:
    stored = client.post("/v1/visits", _bodies(1, with_catch)[0])["visit_id"]
    visit = read_rows(url, str(stored))
    forget(url, [str(stored)])
    ready = _copier(url, visit) if kind == "postgresql" else _inserter(url, visit)
    what = f"{'a catch' if with_catch else 'no catch'}, {sum(len(part.rows) for part in visit)} rows, {kind}"

    def alone() -> float:
        bodies = _bodies(ALONE, with_catch)
        return _rate(url, client, lambda: [str(client.post("/v1/visits", one)["visit_id"]) for one in bodies])

    def together() -> float:
        lines = b"\n".join(_bodies(TOGETHER, with_catch))
        return _rate(url, client, lambda: _sent(client, lines))

    def rows() -> float:
        return _rate(url, client, lambda: ready(READY))

    file = ("visits of a file", together)
    say_ratio(
        f"Beside one at a time: {what}",
        *take_turns(file, ("one at a time", alone), pairs),
        "visits/s",
        FASTER,
    )
    say_ratio(f"Beside ready rows: {what}", *take_turns(file, ("ready rows", rows), pairs), "visits/s", GOAL)


def _bodies(number: int, with_catch: bool) -> list[bytes]:
    """Return visits of an ordinary spring, each site in its turn."""
    found = []
    for place in range(number):
        body = json.loads(visit_body(SITES[place % len(SITES)], day(0), place // 4, place // 4))
        if not with_catch:
            del body["catch"]
        found.append(json.dumps(body).encode())
    return found


def _sent(client: Client, lines: bytes) -> list[str]:
    report = client.post(f"/v1/imports?school={SCHOOL}", lines, 200)
    fates = {row["fate"] for row in report["rows"]}
    assert fates <= {"stored", "held"}, fates
    return [str(row["visit_id"]) for row in report["rows"]]


def _rate(url: str, client: Client, store: Callable[[], list[str]]) -> float:
    """Return visits a second; they are taken out again once the clock has stopped."""
    client.reopen()
    began = time.perf_counter()
    visits = store()
    seconds = time.perf_counter() - began
    forget(url, visits)
    return len(visits) / seconds


def _many(
    visit: Sequence[TableRows], number: int, written: Callable[[UUID, str], str]
) -> tuple[list[str], list[list[tuple[object, ...]]]]:
    """Return the ids of new visits, and for each table the rows of all of them."""
    ids = [uuid4() for _ in range(number)]
    rows = [[row for one in ids for row in part.again(written(one, part.table))] for part in visit]
    return [str(one) for one in ids], rows


def _inserter(url: str, visit: Sequence[TableRows]) -> Store:
    connection = sqlite3.connect(str(make_url(url).database), timeout=30, isolation_level=None)
    connection.execute("PRAGMA foreign_keys=ON")
    connection.execute("PRAGMA synchronous=FULL")

    def store(number: int) -> list[str]:
        ids, rows = _many(visit, number, lambda one, table: str(one) if table == CHANGE else one.hex)
        connection.execute("BEGIN IMMEDIATE")
        for part, many in zip(visit, rows, strict=True):
            columns = ", ".join(f'"{name}"' for name in part.columns)
            marks = ", ".join("?" * len(part.columns))
            connection.executemany(f'INSERT INTO "{part.table}" ({columns}) VALUES ({marks})', many)
        connection.execute("COMMIT")
        return ids

    return store


def _copier(url: str, visit: Sequence[TableRows]) -> Store:
    address = make_url(url).set(drivername="postgresql").render_as_string(hide_password=False)
    connection = psycopg.connect(address)

    def store(number: int) -> list[str]:
        ids, rows = _many(visit, number, lambda one, _: str(one))
        for part, many in zip(visit, rows, strict=True):
            columns = ", ".join(f'"{name}"' for name in part.columns)
            with connection.cursor().copy(f'COPY "{part.table}" ({columns}) FROM STDIN') as copy:
                for row in many:
                    copy.write_row(row)
        connection.commit()
        return ids

    return store


if __name__ == "__main__":
    main()
