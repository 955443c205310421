"""Which criterion of a parameter applies at a site on a day."""

from collections.abc import Iterator
from datetime import UTC, date, datetime
from typing import Any

import pytest
from sqlalchemy import Engine, event
from sqlmodel import Session

from service.criteria.find_criteria import find_criteria
from service.criteria.tables import NetworkCriterion
from service.sites.tables import Site

DAY = date(2026, 5, 14)


@pytest.fixture
def session(engine: Engine) -> Iterator[Session]:
    with Session(engine) as session:
        yield session
        session.rollback()


def site(water_class: str | None = "cold", watershed: str | None = "huc:020700100103") -> Site:
    scheme, _, code = (watershed or "").partition(":")
    return Site(
        code="reed-01", name="Reed", school="heron", time_zone="UTC", water_class=water_class,
        watershed_scheme=scheme or None, watershed_code=code or None, created_at=datetime.now(UTC),
    )  # fmt: skip


def enter(session: Session, code: str, at_least: float = 7.0, watershed: str = "", **more: Any) -> None:
    scheme, _, digits = watershed.partition(":")
    fields = {"parameter": "dissolved_oxygen", "applies_from": date(2026, 1, 1), "source": "a rule"} | more
    row = NetworkCriterion(
        code=code, name=code, at_least=at_least, watershed_scheme=scheme or None,
        watershed_code=digits or None, created_at=datetime.now(UTC), **fields,
    )  # fmt: skip
    session.add(row)
    session.flush()


def codes(session: Session, place: Site, on: date = DAY) -> set[str]:
    return {criterion.code for criterion in find_criteria(session, place, on)}


EVERY_WATER = {"ph", "alkalinity", "chloride", "e-coli"}


@pytest.mark.parametrize(
    ("water_class", "more"),
    [
        ("cold", {"dissolved-oxygen-cold", "water-temperature-cold", "ammonia-cold"}),
        ("warm", {"dissolved-oxygen-warm", "water-temperature-warm", "ammonia-warm"}),
        (None, set()),
    ],
)
def test_without_own_ones_the_defaults_of_the_water_class_apply(
    session: Session, water_class: str | None, more: set[str]
) -> None:
    assert codes(session, site(water_class)) == EVERY_WATER | more


def test_an_own_criterion_takes_the_place_of_the_default_of_its_parameter_alone(session: Session) -> None:
    before = codes(session, site())
    enter(session, "our-oxygen")
    assert codes(session, site()) == before - {"dissolved-oxygen-cold"} | {"our-oxygen"}
    (own,) = (one for one in find_criteria(session, site(), DAY) if one.code == "our-oxygen")
    assert (own.parameter, own.unit, own.at_least, own.at_most) == ("dissolved_oxygen", "mg/L", 7.0, None)
    assert own.source == "a rule"


def test_an_own_criterion_of_a_parameter_without_default_is_added(session: Session) -> None:
    enter(session, "our-tube", parameter="transparency", at_least=30.0)
    assert codes(session, site(None)) == EVERY_WATER | {"our-tube"}


@pytest.mark.parametrize(
    ("entered", "place", "applies"),
    [
        # its water class
        ({"water_class": "cold"}, site("cold"), True),
        ({"water_class": "warm"}, site("cold"), False),
        ({"water_class": "cold"}, site(None), False),
        ({}, site(None), True),
        # its watershed: a prefix holds
        ({"watershed": "huc:02"}, site(), True),
        ({"watershed": "huc:0207"}, site(), True),
        ({"watershed": "huc:020700100103"}, site(), True),
        ({"watershed": "huc:0208"}, site(), False),
        ({"watershed": "huc:02070010010301"}, site(), False),
        ({"watershed": "pfafstetter:4"}, site(), False),
        ({"watershed": "pfafstetter:43"}, site(watershed="pfafstetter:432"), True),
        ({"watershed": "pfafstetter:42"}, site(watershed="pfafstetter:432"), False),
        # the same digits in another scheme are another place
        ({"watershed": "huc:12"}, site(watershed="pfafstetter:123"), False),
        ({"watershed": "huc:02"}, site(watershed=None), False),
        ({}, site(watershed=None), True),
        # its days, the first and the last included
        ({"applies_from": DAY}, site(), True),
        ({"applies_from": date(2026, 5, 15)}, site(), False),
        ({"applies_until": DAY}, site(), True),
        ({"applies_until": date(2026, 5, 13)}, site(), False),
    ],
)
def test_where_and_when_an_own_criterion_applies(
    session: Session, entered: dict[str, Any], place: Site, applies: bool
) -> None:
    enter(session, "our-oxygen", **entered)
    found = codes(session, place)
    assert ("our-oxygen" in found) == applies
    assert any(code.startswith("dissolved-oxygen") for code in found) == (
        not applies and place.water_class is not None
    )


@pytest.mark.parametrize(
    ("first", "second", "wins"),
    [
        ({}, {"watershed": "huc:02"}, "second"),
        ({"watershed": "huc:0207"}, {"watershed": "huc:02"}, "first"),
        ({"watershed": "huc:0207"}, {"water_class": "cold"}, "first"),
        ({"watershed": "huc:0207"}, {"watershed": "huc:0207", "water_class": "cold"}, "second"),
        ({"water_class": "cold"}, {}, "first"),
        ({"applies_from": date(2025, 1, 1)}, {"applies_from": date(2026, 1, 1)}, "second"),
        ({"applies_from": date(2026, 1, 1)}, {"applies_from": date(2025, 1, 1)}, "first"),
    ],
)
def test_of_several_the_smallest_watershed_then_the_named_class_then_the_newest_applies(
    session: Session, first: dict[str, Any], second: dict[str, Any], wins: str
) -> None:
    enter(session, "first", **first)
    enter(session, "second", **second)
    assert codes(session, site()) & {"first", "second"} == {wins}


def test_one_question_is_asked(session: Session, engine: Engine) -> None:
    enter(session, "our-oxygen")
    statements: list[str] = []

    def note(*told: object) -> None:
        statements.append(str(told[2]))

    event.listen(engine, "before_cursor_execute", note)
    find_criteria(session, site(), DAY)
    event.remove(engine, "before_cursor_execute", note)
    assert len(statements) == 1
