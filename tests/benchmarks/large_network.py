"""A network as large as a country's: its rows go straight into the tables, not through the checks.

5,000 sites of 2,000 schools in 60 watersheds of eight digits (the largest holds a tenth of the sites), 100
visits a site over ten years, eight readings and two scores a visit; 3 % of the readings are off and flagged.
"""

import sqlite3
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from uuid import UUID

import numpy as np
import psycopg
from numpy.typing import NDArray
from psycopg import sql
from sqlalchemy import make_url

Row = tuple[object, ...]
Rows = tuple[str, tuple[str, ...], Iterator[Row]]
FIRST_DAY, WEEKS = date(2015, 1, 5), 520
SCHOOLS, WATERSHEDS = 2_000, 60
NOW = datetime(2026, 1, 1, tzinfo=UTC)
NONE_AT_ALL = "{}"
SEED = 20_240_501
PARAMETERS = (
    ("water_temperature", "degC"), ("ph", "std units"), ("dissolved_oxygen", "mg/L"), ("transparency", "cm"),
    ("turbidity", "NTU"), ("nitrate", "mg/L as N"), ("specific_conductance", "uS/cm"),
    ("phosphate", "mg/L as P"),
)  # fmt: skip
INDICES = (("family-biotic-extended", "good"), ("ept-richness", None))


@dataclass(frozen=True)
class LargeNetwork:
    """What was drawn: for each visit, in order of date, its site and day."""

    codes: list[str]
    watersheds: list[str]
    places: NDArray[np.float64]
    sites: NDArray[np.int64]
    days: NDArray[np.int64]

    @property
    def busiest(self) -> str:
        """The watershed of eight digits with the most sites."""
        found, number = np.unique([code[:8] for code in self.watersheds], return_counts=True)
        return str(found[np.argmax(number)])


def draw(sites: int, visits_each: int) -> LargeNetwork:
    """Draw a network; the same numbers draw the same one."""
    random = np.random.default_rng(SEED)
    share = 1 / np.arange(1, WATERSHEDS + 1) ** 0.75
    share[0] = 0.1 / 0.9 * share[1:].sum()
    eight = [f"{2 + n // 12:02}{1 + n % 4:02}{1 + n % 3:02}{1 + n:02}" for n in range(WATERSHEDS)]
    picked = random.choice(WATERSHEDS, sites, p=share / share.sum())
    finer = random.integers(1, 6, (sites, 2))
    twelve = [f"{eight[n]}{a:02}{b:02}" for n, (a, b) in zip(picked, finer, strict=True)]
    centres = np.column_stack([random.uniform(30, 47, WATERSHEDS), random.uniform(-120, -75, WATERSHEDS)])
    weeks = np.argsort(random.random((sites, WEEKS), dtype=np.float32), axis=1)[:, :visits_each]
    of_site = np.repeat(np.arange(sites), visits_each)
    days = weeks.ravel() * 7 + random.integers(0, 5, of_site.size)
    order = np.lexsort((random.random(of_site.size), days))
    return LargeNetwork(
        codes=[f"site-{n:04}" for n in range(sites)],
        watersheds=twelve,
        places=centres[picked] + random.normal(0, 0.4, (sites, 2)),
        sites=of_site[order],
        days=days[order],
    )


def rows_of(network: LargeNetwork, written_id: Callable[[UUID], str]) -> Iterator[Rows]:
    """Give the rows of each table, the referred-to tables first."""
    codes = sorted(set(network.watersheds))
    yield "school", ("code", "name", "time_zone", "created_at"), (
        (f"school-{n:04}", f"School {n}", "America/Chicago", NOW.isoformat()) for n in range(SCHOOLS)
    )  # fmt: skip
    yield "watershed", ("scheme", "code", "name"), (("huc", code, None) for code in codes)
    yield _sites(network)
    ids = [written_id(_visit_id(n, int(day))) for n, day in enumerate(network.days)]
    yield _visits(network, ids)
    yield _revisions(network, ids)
    yield _readings(network, ids)
    yield _scores(ids)


def _visit_id(number: int, day: int) -> UUID:
    return UUID(int=(day << 100) | (0x7 << 76) | (0b10 << 62) | number)


def _day(number: int) -> date:
    return FIRST_DAY + timedelta(days=int(number))


def _sites(network: LargeNetwork) -> Rows:
    columns = (
        "code", "name", "school", "stream", "stream_km", "latitude", "longitude", "public_decimals",
        "watershed_scheme", "watershed_code", "time_zone", "established_on", "created_at",
    )  # fmt: skip
    rows = (
        (code, f"Site {n}", f"school-{n % SCHOOLS:04}", f"stream-{n // 8}", float(n % 8), float(place[0]),
         float(place[1]), 3, "huc", watershed, "America/Chicago", "2014-09-01", NOW.isoformat())
        for n, (code, watershed, place) in enumerate(
            zip(network.codes, network.watersheds, network.places, strict=True)
        )
    )  # fmt: skip
    return "site", columns, rows


def _visits(network: LargeNetwork, ids: Sequence[str]) -> Rows:
    columns = (
        "id", "site", "school", "revision", "kind", "state", "published", "observed_at", "observed_on",
        "flag",
    )  # fmt: skip
    rows = (
        (one, network.codes[site], f"school-{site % SCHOOLS:04}", 1, "routine", "released", True,
         f"{_day(day)}T15:00:00+00:00", _day(day).isoformat(), 1)
        for one, site, day in zip(ids, network.sites, network.days, strict=True)
    )  # fmt: skip
    return "visit", columns, rows


def _revisions(network: LargeNetwork, ids: Sequence[str]) -> Rows:
    columns = (
        "visit_id", "revision", "observed_at", "observed_on", "utc_offset_minutes", "conditions",
        "content_hash", "received_at", "reference_version", "scored_with",
    )  # fmt: skip
    rows = (
        (one, 1, f"{_day(day)}T15:00:00+00:00", _day(day).isoformat(), -360, NONE_AT_ALL, f"{n:064x}",
         f"{_day(day)}T16:00:00+00:00", "000000000000", "")
        for n, (one, day) in enumerate(zip(ids, network.days, strict=True))
    )  # fmt: skip
    return "visit_revision", columns, rows


def _readings(network: LargeNetwork, ids: Sequence[str]) -> Rows:
    columns = (
        "visit_id", "revision", "position", "parameter", "replicate", "unit", "value", "low", "high",
        "written_value", "written_unit", "procedure", "accepted", "flag",
    )  # fmt: skip
    random = np.random.default_rng(SEED + 1)
    season = np.cos((network.days % 365 - 200) / 365 * 2 * np.pi)
    water = 14 + 9 * season + random.normal(0, 2, len(ids))
    drawn = (
        water, 7.5 + random.normal(0, 0.4, len(ids)), 11 - 0.2 * water, random.lognormal(4, 0.5, len(ids)),
        random.lognormal(0.3, 0.8, len(ids)), random.lognormal(-2, 0.7, len(ids)),
        random.lognormal(5.5, 0.5, len(ids)), random.lognormal(-3, 0.7, len(ids)),
    )  # fmt: skip
    values = np.column_stack(drawn)
    off = random.random(values.shape) < 0.03
    values = np.where(off, values * 4, values).round(3)
    flags = np.where(off, 3, 1)

    def rows() -> Iterator[Row]:
        for one, of_visit, judged in zip(ids, values.tolist(), flags.tolist(), strict=True):
            for place, ((parameter, unit), value, flag) in enumerate(
                zip(PARAMETERS, of_visit, judged, strict=True)
            ):
                yield (one, 1, place, parameter, 1, unit, value, value - 0.5, value + 0.5,
                       value, unit, NONE_AT_ALL, False, flag)  # fmt: skip

    return "reading", columns, rows()


def _scores(ids: Sequence[str]) -> Rows:
    columns = (
        "visit_id", "revision", "index", "definition", "value", "band", "standing", "low", "high", "bands",
        "reasons", "inputs", "reference_version", "superseded",
    )  # fmt: skip
    values = np.random.default_rng(SEED + 2).normal(5, 1, (len(ids), len(INDICES))).round(2).tolist()
    rows = (
        (one, 1, index, 1, value, band, "rated", value - 0.4, value + 0.4, '{"good": 1.0}', "[]", '["catch"]',
         "000000000000", False)
        for one, of_visit in zip(ids, values, strict=True)
        for (index, band), value in zip(INDICES, of_visit, strict=True)
    )  # fmt: skip
    return "score", columns, rows


def fill(url: str, network: LargeNetwork) -> None:
    """Store a network in an empty migrated database and let the database look at what it holds."""
    address = make_url(url)
    if address.get_backend_name() == "sqlite":
        _fill_sqlite(str(address.database), network)
    else:
        _fill_postgres(url.replace("postgresql+psycopg", "postgresql"), network)


def _fill_sqlite(file: str, network: LargeNetwork) -> None:
    connection = sqlite3.connect(file)
    for table, columns, rows in rows_of(network, lambda one: one.hex):
        places = [
            columns.index(name) for name in ("observed_at", "received_at", "created_at") if name in columns
        ]
        marks = ", ".join("?" * len(columns))
        names = ", ".join(f'"{name}"' for name in columns)
        connection.executemany(f'INSERT INTO "{table}" ({names}) VALUES ({marks})', _as_sqlite(rows, places))
    connection.commit()
    connection.execute("ANALYZE")
    connection.commit()
    connection.close()


def _as_sqlite(rows: Iterable[Row], instants: Sequence[int]) -> Iterator[Row]:
    """Write instants as the service's driver does: no letter between day and time, no offset."""
    for row in rows:
        written = list(row)
        for place in instants:
            written[place] = f"{str(row[place])[:19].replace('T', ' ')}.000000"
        yield tuple(written)


def _fill_postgres(address: str, network: LargeNetwork) -> None:
    with psycopg.connect(address, autocommit=True) as connection:
        for table, columns, rows in rows_of(network, str):
            names = sql.SQL(", ").join(map(sql.Identifier, columns))
            order = sql.SQL("COPY {} ({}) FROM STDIN").format(sql.Identifier(table), names)
            with connection.cursor().copy(order) as copy:
                for row in rows:
                    copy.write_row(row)
        connection.execute("VACUUM ANALYZE")


def changed_once(url: str) -> None:
    """Number one change, so that the tag of lists has something to stand on."""
    address = make_url(url)
    statement = (
        "INSERT INTO change (number, subject, subject_id, action, what, at) "
        "VALUES (1, 'visit', 'all', 'made', '', '2026-01-01 00:00:00')"
    )
    if address.get_backend_name() == "sqlite":
        with sqlite3.connect(str(address.database)) as connection:
            connection.execute(statement)
            connection.execute("UPDATE change_counter SET last = 1")
        return
    with psycopg.connect(url.replace("postgresql+psycopg", "postgresql"), autocommit=True) as connection:
        connection.execute(statement)
        connection.execute("UPDATE change_counter SET last = 1")
