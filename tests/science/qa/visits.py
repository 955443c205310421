"""Invented visits for the tests of the checks."""

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from service.science.types import Censoring, PastReading, Reading, Site, Visit

ZONE = ZoneInfo("America/New_York")


def visit_with(
    *readings: Reading,
    observed_at: datetime = datetime(2026, 5, 14, 14, 0, tzinfo=ZONE),
    received_at: datetime | None = None,
    elevation_m: float | None = 0.0,
    established_on: date | None = None,
    history: dict[str, tuple[PastReading, ...]] | None = None,
    conditions: dict[str, object] | None = None,
    twins: tuple[str, ...] = (),
) -> Visit:
    return Visit(
        site=Site("creek-1", ZONE.key, elevation_m=elevation_m, established_on=established_on),
        observed_at=observed_at,
        received_at=received_at or observed_at + timedelta(hours=1),
        readings=readings,
        conditions=conditions or {},
        history=history or {},
        twins=twins,
    )


def weekly(
    values: list[float],
    before: date,
    *,
    kit: str | None = None,
    kind: str | None = None,
    censored: Censoring | None = None,
    first_days_before: int = 1,
) -> tuple[PastReading, ...]:
    """Return past readings in the days up to a date, one a day, the first value the latest."""
    return tuple(
        PastReading(before - timedelta(days=first_days_before + n), value, censored, kit, kind)
        for n, value in enumerate(values)
    )
