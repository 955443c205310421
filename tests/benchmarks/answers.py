"""P4 to P7, P9 and P10: what a very large network asks of the service, beside the least there is.

`python -m tests.benchmarks.answers [--pairs N] [--sites N] [--without-exports]`. 5,000 sites, 500,000 visits,
4,000,000 readings and 1,000,000 scores unless fewer sites are asked for; one worker, the sides in turn.
"""

import argparse
import json
import sqlite3
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from datetime import date, timedelta
from functools import partial
from http.client import HTTPConnection, HTTPResponse
from itertools import count, cycle, islice, repeat
from pathlib import Path
from typing import Any
from uuid import UUID

import psycopg
from sqlalchemy import make_url

from service.core.paging import write_cursor
from tests.benchmarks.large_network import changed_once, draw, fill
from tests.benchmarks.pairs import FEWEST_PAIRS, say_machine, say_ratio, take_turns
from tests.benchmarks.servers import DATABASES, HOST, migrated_database, same_bytes_server, wadebook

CLIENTS, VISITS_EACH, CHUNK = 16, 100, 1 << 16
LATEST = "/v1/sites/latest"
ALL_READINGS = (
    "SELECT v.id, v.revision, v.state, v.kind, v.site, v.school, s.stream, s.stream_km, s.watershed_scheme, "
    "s.watershed_code, s.latitude, s.longitude, v.observed_on, s.time_zone, r.position, r.parameter, "
    "r.replicate, r.value, r.unit, r.censored, r.low, r.high, r.kit, r.flag FROM visit v "
    "JOIN site s ON s.code = v.site JOIN reading r ON r.visit_id = v.id AND r.revision = v.revision "
    "WHERE v.state = 'released' AND v.kind = 'routine' ORDER BY v.observed_on, v.id, r.position"
)


class Asker:
    """One connection that stays open."""

    def __init__(self, port: int) -> None:
        self.connection = HTTPConnection(HOST, port, timeout=600)

    def ask(self, address: str, **headers: str) -> HTTPResponse:
        self.connection.request("GET", address, headers={"Accept-Encoding": "identity"} | headers)
        return self.connection.getresponse()

    def read(self, address: str, status: int = 200, **headers: str) -> bytes:
        answer = self.ask(address, **headers)
        content = answer.read()
        assert answer.status == status, (address, answer.status, content[:300])
        return content


def per_second(work: Callable[[], Any], times: int) -> float:
    """Return how often a second something is done."""
    begin = time.perf_counter()
    for _ in range(times):
        work()
    return times / (time.perf_counter() - begin)


def by_all(askers: list[Asker], addresses: Iterator[str], times: int) -> float:
    """Return how many answers a second all clients together are given, each to the next address."""
    work = [(asker, list(islice(addresses, times))) for asker in askers]
    for asker in askers:
        asker.connection.close()
    with ThreadPoolExecutor(len(askers)) as threads:
        begin = time.perf_counter()
        list(threads.map(lambda one: [one[0].read(address) for address in one[1]], work))
        return len(askers) * times / (time.perf_counter() - begin)


def anew(address: str) -> Iterator[str]:
    """Ask for the same again and again in other words, so that no answer lies ready."""
    return (f"{address}&to={date(2090, 1, 1) + timedelta(days)}" for days in count())


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--pairs", type=int, default=FEWEST_PAIRS)
    parser.add_argument("--sites", type=int, default=5_000)
    parser.add_argument("--without-exports", action="store_true", help="leave out P7, which takes hours")
    asked = parser.parse_args()
    say_machine()
    network = draw(asked.sites, VISITS_EACH)
    for kind in DATABASES:
        with migrated_database(kind) as url:
            fill(url, network)
            changed_once(url)
            with wadebook(url, rate_per_address="0", public_read="true") as port:
                print(f"\n== {kind}, {len(network.days):,} visits")
                _compare(kind, url, port, network.busiest, asked.pairs)
                if not asked.without_exports:
                    _export(kind, url, port, asked.pairs)
                print(f"\nP10: most memory of the worker so far {_peak_mb(port):.0f} MB")


def _compare(kind: str, url: str, port: int, watershed: str, pairs: int) -> None:
    askers = [Asker(port) for _ in range(CLIENTS)]
    one = askers[0]
    visits = f"/v1/visits?watershed={watershed}&from=2019-01-01&limit=1000"
    page, pages = one.read(visits), anew(visits)
    with same_bytes_server(page) as bytes_port:
        others = [Asker(bytes_port) for _ in range(CLIENTS)]
        bytes_side = ("the same bytes", lambda: by_all(others, repeat(visits), 20))
        told = f"1,000 scored visits as JSON ({len(page):,} bytes), 16 clients, {kind}"
        again = ("asked again", lambda: by_all(askers, repeat(visits), 20))
        say_ratio(f"P4: {told}", *take_turns(again, bytes_side, pairs), "answers/s", 0.80)
        first = ("asked for the first time", lambda: by_all(askers, pages, 2))
        say_ratio(f"P4: {told}", *take_turns(first, bytes_side, pairs), "answers/s", 0.80)
    _paging(kind, url, one, pairs)
    _unchanged(kind, one, visits, pairs)
    _latest(kind, url, one, pairs)


def _paging(kind: str, url: str, one: Asker, pairs: int) -> None:
    """P5: a page far into the list, beside the first and beside OFFSET."""
    with _database(url) as run:
        row = run("SELECT count(*) FROM visit")[0][0] * 4 // 5
        skipped = f"SELECT observed_on, id FROM visit ORDER BY observed_on, id LIMIT 100 OFFSET {row}"
        on, visit_id = run(skipped)[0]
        deep = f"/v1/visits?limit=100&cursor={write_cursor([str(on), str(UUID(str(visit_id)))])}"
        assert len(json.loads(one.read(deep))["items"]) == 100
        deep_pages, first_pages = anew(deep), anew("/v1/visits?limit=100")
        deep_side = (
            f"the page at row {row:,}",
            lambda: per_second(lambda: one.read(next(deep_pages)), 20),
        )
        first = ("the first page", lambda: per_second(lambda: one.read(next(first_pages)), 20))
        say_ratio(f"P5: 100 visits, {kind}", *take_turns(deep_side, first, pairs), "pages/s", 1 / 1.2)
        offset = ("OFFSET, ids alone, in SQL", lambda: per_second(lambda: run(skipped), 3))
        say_ratio(f"P5: beside OFFSET, {kind}", *take_turns(deep_side, offset, pairs), "pages/s", 15)


def _unchanged(kind: str, one: Asker, visits: str, pairs: int) -> None:
    """P6: a list that has not changed, asked again with its tag."""
    answer = one.ask(visits)
    answer.read()
    tag = str(answer.headers["ETag"])

    def again() -> float:
        return per_second(lambda: one.read(visits, 304, **{"If-None-Match": tag}), 50)

    sides = take_turns(
        ("unchanged", again),
        ("an endpoint that says it is alive", lambda: per_second(lambda: one.read("/healthz"), 50)),
        pairs,
    )
    say_ratio(f"P6: 304 beside a constant answer, {kind}", *sides, "answers/s", 0.70)
    pages = anew(visits)
    sides = take_turns(
        ("unchanged", again), ("in full", lambda: per_second(lambda: one.read(next(pages)), 5)), pairs
    )
    say_ratio(f"P6: 304 beside the full answer, {kind}", *sides, "answers/s", 10)


def _latest(kind: str, url: str, one: Asker, pairs: int) -> None:
    """P9: the latest visit of each site, beside the SQL that looks into each."""
    lateral = (
        "SELECT s.code, v.id, v.observed_on FROM site s LEFT JOIN LATERAL (SELECT id, observed_on FROM visit "
        "WHERE site = s.code AND state = 'released' ORDER BY observed_on DESC, id DESC LIMIT 1) v ON true"
    )
    if kind == "sqlite":
        lateral = (
            "SELECT s.code, (SELECT id FROM visit WHERE site = s.code AND state = 'released' "
            "ORDER BY observed_on DESC, id DESC LIMIT 1) FROM site s"
        )
    pages = cycle(f"{LATEST}?limit={limit}" for limit in range(1000, 900, -1))
    with _database(url) as run:
        sql_side = ("all sites in SQL", lambda: per_second(lambda: run(lateral), 2))
        for told, addresses in (("for the first time", pages), ("again", repeat(f"{LATEST}?limit=1000"))):
            side = (f"1,000 sites {told}, over HTTP", partial(_asked, one, addresses))
            say_ratio(f"P9: latest visits, {kind}", *take_turns(side, sql_side, pairs), "answers/s", 2.5)


def _asked(one: Asker, addresses: Iterator[str]) -> float:
    return per_second(lambda: one.read(next(addresses)), 4)


def _export(kind: str, url: str, port: int, pairs: int) -> None:
    """P7: all readings as CSV, beside the database's own way of writing them."""
    one, before = Asker(port), _peak_mb(port)
    first_bytes: list[float] = []

    def export(ending: str) -> float:
        begin = time.perf_counter()
        answer = one.ask(f"/v1/exports/readings.{ending}")
        size = len(answer.read(1))
        first_bytes.append(time.perf_counter() - begin)
        while chunk := answer.read(CHUNK):
            size += len(chunk)
        one.connection.close()  # the service would, while the other side has its turn
        return size / 1e6 / (time.perf_counter() - begin)

    for ending, goal in (("csv", 0.80), ("ndjson", 0.55), ("parquet", 0.55)):
        first_bytes.clear()
        rows = _rows_per_second(export, ending, one)
        copy = ("the database's own copy", lambda: _copied(url))
        sides = take_turns((f"readings.{ending} over HTTP", rows), copy, pairs)
        say_ratio(f"P7: all readings as {ending}, {kind}", *sides, "rows/s", goal)
        grown = _peak_mb(port) - before
        print(f"  first byte after {min(first_bytes) * 1000:.0f} ms; most memory grew by {grown:.0f} MB")


def _rows_per_second(export: Callable[[str], float], ending: str, one: Asker) -> Callable[[], float]:
    answer = one.ask("/v1/exports/readings.csv")
    rows = int(answer.headers["Content-Rows"])
    one.connection.close()

    def work() -> float:
        begin = time.perf_counter()
        export(ending)
        return rows / (time.perf_counter() - begin)

    return work


def _copied(url: str) -> float:
    """Return rows a second of the same query written as CSV by the database's own client."""
    begin, rows = time.perf_counter(), 0
    if url.startswith("sqlite"):
        with sqlite3.connect(str(make_url(url).database)) as connection:
            for row in connection.execute(ALL_READINGS):
                ",".join(map(str, row))
                rows += 1
        return rows / (time.perf_counter() - begin)
    address = url.replace("postgresql+psycopg", "postgresql")
    statement = f"COPY ({ALL_READINGS}) TO STDOUT CSV"
    with psycopg.connect(address) as connection, connection.cursor().copy(statement) as copy:
        for chunk in copy:
            rows += bytes(chunk).count(b"\n")
    return rows / (time.perf_counter() - begin)


@contextmanager
def _database(url: str) -> Iterator[Callable[[str], list[Any]]]:
    """Give what runs a statement straight in the database."""
    if url.startswith("sqlite"):
        sqlite = sqlite3.connect(str(make_url(url).database))
        yield lambda statement: sqlite.execute(statement).fetchall()
        sqlite.close()
        return
    with psycopg.connect(url.replace("postgresql+psycopg", "postgresql")) as connection:
        yield lambda statement: connection.execute(statement).fetchall()


def _peak_mb(port: int) -> float:
    """Return the most memory that the process listening on a port has held [MB]."""
    wanted = f"{port:04X}"
    sockets = {
        line.split()[9]
        for line in Path("/proc/net/tcp").read_text().splitlines()[1:]
        if line.split()[1].endswith(":" + wanted) and line.split()[3] == "0A"
    }
    for process in Path("/proc").glob("[0-9]*"):
        try:
            held = {link.readlink().name for link in (process / "fd").iterdir()}
            if any(f"socket:[{one}]" in held for one in sockets):
                status = (process / "status").read_text()
                return int(status.split("VmHWM:")[1].split()[0]) / 1024
        except OSError:
            continue
    raise RuntimeError("nobody listens there")


if __name__ == "__main__":
    main()
