"""Sites of an invented stream for the tests: readings by day, by hour and by what they were read with."""

import math
from datetime import UTC, date, datetime, timedelta

from service.science.paired_days import SiteReading, pair_days
from service.science.reach import Reach
from service.science.stream_profile import SiteSeries, profile
from service.science.stream_profile_words import Measure
from service.science.types import Censoring

FIRST = date(2026, 3, 1)
OXYGEN = Measure("dissolved oxygen", "mg/L", swings_daily=True)
TUBE = Measure("transparency", "cm")


def reading(day: int, value: float, hour: float = 10.0, step: float | None = 0.2, **more) -> SiteReading:
    on = FIRST + timedelta(days=day)
    at = datetime(on.year, on.month, on.day, tzinfo=UTC) + timedelta(hours=hour)
    known = {"censored": None, "low": value, "high": value, "method": "titrator"} | more
    return SiteReading(on=on, at=at, value=value, step=step, **known)


def above(day: int, limit: float) -> SiteReading:
    return reading(day, limit, step=1.0, censored=Censoring.ABOVE, low=limit, high=math.inf, method="tube")


def tube(day: int, depth: float) -> SiteReading:
    return reading(day, depth, step=1.0, low=depth - 2, high=depth + 2, method="tube")


def site(code: str, *readings: SiteReading, school: str = "heron") -> SiteSeries:
    return SiteSeries(code, school, readings)


def levels(code: str, *values: float, school: str = "heron", **more) -> SiteSeries:
    return site(code, *(reading(day, value, **more) for day, value in enumerate(values)), school=school)


def only(*sites: SiteSeries, swings_daily: bool = False) -> Reach:
    (found,) = profile(sites, swings_daily=swings_daily)
    return found


def pair(upstream: list[SiteReading], downstream: list[SiteReading], **more):
    return pair_days(upstream, downstream, **({"same_hour": False, "same_school": True} | more))
