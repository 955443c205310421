"""How the databases find what is asked for: a watershed by a range of an index, a newest visit by a step."""

import re
import uuid
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
import sqlalchemy as sa
from sqlalchemy import Engine
from sqlmodel import Session

from service.network.latest.queries import last_visits, newest_visits
from service.network.queries import sites_and_visits_by_watershed, visits_after
from service.schools.tables import School
from service.science.watershed_code import WatershedCode
from service.sites.queries import sites_after
from service.sites.tables import Site, Watershed
from service.visits.question import Question
from service.visits.tables import State, Visit, VisitReading, VisitRevision

SITES, VISITS_EACH = 1500, 4
NOW = datetime(2026, 3, 1, 12, tzinfo=UTC)
REED = WatershedCode("huc", "020700010001")


def code_of(number: int) -> str:
    return f"02{number % 99:02}0001{number % 50:04}"


def rows_of_a_network() -> Iterator[tuple[Any, list[dict[str, Any]]]]:
    """Give 1500 sites in as many watersheds as fit, each with four visits of two readings."""
    yield School, [{"code": "heron", "name": "Heron", "time_zone": "UTC", "created_at": NOW}]
    codes = sorted({code_of(number) for number in range(SITES)})
    yield Watershed, [{"scheme": "huc", "code": code} for code in codes]
    yield (
        Site,
        [
            {
                "code": f"s{number:04}", "name": "S", "school": "heron", "watershed_scheme": "huc",
                "watershed_code": code_of(number), "time_zone": "UTC", "created_at": NOW,
                "public_decimals": 3,
            }
            for number in range(SITES)
        ],
    )  # fmt: skip
    visits = [
        (uuid.UUID(int=number * VISITS_EACH + one), f"s{number:04}", date(2026, 1, 1) + timedelta(7 * one))
        for number in range(SITES)
        for one in range(VISITS_EACH)
    ]
    yield (
        Visit,
        [
            {
                "id": visit, "site": site, "school": "heron", "revision": 1, "kind": "routine", "flag": 1,
                "state": State.RELEASED, "published": True, "observed_at": NOW, "observed_on": on,
            }
            for visit, site, on in visits
        ],
    )  # fmt: skip
    yield (
        VisitRevision,
        [
            {
                "visit_id": visit, "revision": 1, "observed_at": NOW, "observed_on": on, "conditions": {},
                "utc_offset_minutes": 0, "content_hash": "x", "received_at": NOW, "reference_version": "x",
            }
            for visit, _, on in visits
        ],
    )  # fmt: skip
    yield (
        VisitReading,
        [
            {
                "visit_id": visit, "revision": 1, "position": position, "parameter": name, "replicate": 1,
                "unit": "u", "value": 7.0, "written_unit": "u", "procedure": {}, "flag": 1, "accepted": False,
            }
            for visit, *_ in visits
            for position, name in enumerate(("ph", "chloride"))
        ],
    )  # fmt: skip


@pytest.fixture
def network(engine: Engine) -> Engine:
    with engine.begin() as connection:
        for table, rows in rows_of_a_network():
            connection.execute(sa.insert(table), rows)
    with engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
        connection.exec_driver_sql("ANALYZE")
    return engine


def plan(engine: Engine, ask: Any) -> str:
    """Return how the database would answer what a query function asks it."""
    asked: list[tuple[str, Any]] = []

    def note(_c: Any, _cursor: Any, statement: str, values: Any, *_: Any) -> None:
        asked.append((statement, values))

    sa.event.listen(engine, "before_cursor_execute", note)
    with Session(engine) as session:
        ask(session)
    sa.event.remove(engine, "before_cursor_execute", note)
    (statement, values) = next(one for one in asked if one[0].lstrip().startswith(("SELECT", "WITH")))
    how = "EXPLAIN QUERY PLAN " if engine.dialect.name == "sqlite" else "EXPLAIN "
    with engine.connect() as connection:
        rows = connection.exec_driver_sql(how + statement, values).all()
    return "\n".join(str(row[-1]) for row in rows)


def range_of_the_watershed_index(text: str) -> bool:
    """Tell whether a plan reads a stretch of the index of watersheds, not the whole of it."""
    sqlite = r"INDEX ix_site_watershed \(watershed_scheme=\? AND watershed_code>\? AND watershed_code<\?\)"
    postgres = (
        r"ix_site_watershed\b[\s\S]*?Index Cond: .*watershed_code\)::text >= .*watershed_code\)::text < "
    )
    return re.search(f"{sqlite}|{postgres}", text) is not None


@pytest.mark.parametrize(
    "ask",
    [
        pytest.param(lambda session: sites_after(session, "", 100, watershed=REED), id="sites"),
        pytest.param(
            lambda session: visits_after(session, Question(watershed=REED), 1000, None), id="visits"
        ),
        pytest.param(lambda session: sites_and_visits_by_watershed(session, REED), id="tree"),
    ],
)
def test_a_watershed_is_a_range_of_its_index(network: Engine, ask: Any) -> None:
    text = plan(network, ask)
    assert range_of_the_watershed_index(text), text


def test_the_newest_visit_of_a_site_is_a_step_in_an_index(network: Engine) -> None:
    codes = [f"s{number:04}" for number in range(100)]
    for ask in (
        lambda session: last_visits(session, codes),
        lambda session: newest_visits(session, codes, ["ph", "turbidity"]),
    ):
        text = plan(network, ask)
        assert "ix_visit_site_date" in text, text
        assert not re.search(r"SCAN (visit|reading)\b|Seq Scan on (visit|reading)\b", text), text
