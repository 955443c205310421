"""Visits with a planted slip: the real kits and checks, invented numbers, and a past where one is needed."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime

from service.science.kit_reading import interpret
from service.science.qa.engine import Assessment
from service.science.qa.explained import assess_with_slips
from service.science.qa.registry import CHECKS
from service.science.types import Censoring, Finding, Kit, LikelySlip, PastReading, Reading, Visit
from tests.science.qa.limits import CATALOGUE, limits_for
from tests.science.qa.visits import ZONE, visit_with, weekly

NOON = datetime(2026, 5, 14, 12, 0, tzinfo=ZONE)
DRY_WEATHER = {"rain_48h_mm": 0.0, "flow": "normal"}


def kit_of(code: str | None) -> Kit | None:
    return CATALOGUE.kits[code] if code else None


def row(
    parameter: str,
    value: float,
    kit: str | None = None,
    unit: str | None = None,
    *,
    censored: Censoring | None = None,
    procedure: Mapping[str, object] | None = None,
) -> Reading:
    """Return a reading as the service makes it of a written number."""
    return interpret(
        0,
        CATALOGUE.parameters[parameter],
        kit_of(kit),
        value,
        unit,
        censored=censored,
        procedure=procedure or {},
    )


def past(values: Sequence[float], kit: str | None = None) -> tuple[PastReading, ...]:
    """Return accepted readings of the days before, by the same kit."""
    known = kit_of(kit)
    return weekly(list(values), NOON.date(), kit=kit, kind=known.kind if known else None)


def visit_of(
    *readings: Reading,
    past: Mapping[str, tuple[PastReading, ...]] | None = None,
    conditions: Mapping[str, object] | None = None,
    elevation_m: float | None = 0.0,
    observed_at: datetime = NOON,
    received_at: datetime | None = None,
) -> Visit:
    """Return a visit with the readings in the order given."""
    placed = [replace(reading, position=position) for position, reading in enumerate(readings)]
    return visit_with(
        *placed,
        history=dict(past or {}),
        conditions=dict(conditions or {}),
        elevation_m=elevation_m,
        observed_at=observed_at,
        received_at=received_at,
    )


def checked(visit: Visit) -> Assessment:
    return assess_with_slips(visit, CHECKS, limits_for)


def named(found: Assessment) -> dict[int | str, tuple[LikelySlip, Finding]]:
    """Return every slip that is named, with its finding, by the position of its reading or ``visit``."""
    rows = [(reading.position, result) for reading in found.readings for result in reading.results]
    rows += [("visit", result) for result in found.visit_results]
    return {
        where: (result.finding.likely_slip, result.finding)
        for where, result in rows
        if result.finding.likely_slip is not None
    }
