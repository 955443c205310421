"""Which earlier readings belong to this time of year, and how many of them are independent."""

from collections.abc import Sequence
from datetime import date
from functools import lru_cache

from service.science.types import PastReading

DAYS_IN_YEAR = 365


def one_a_day(past: Sequence[PastReading]) -> tuple[PastReading, ...]:
    """Return the middle reading of each date (of an even number the lower), in the order of the dates.

    Fifteen readings of one morning know one state of the stream: they are one reference, not fifteen.
    """
    by_date: dict[date, list[PastReading]] = {}
    for reading in past:
        by_date.setdefault(reading.on, []).append(reading)
    return tuple(
        sorted(readings, key=lambda reading: reading.value)[(len(readings) - 1) // 2]
        for _, readings in sorted(by_date.items())
    )


def season_distance_days(first: date, second: date) -> int:
    """Return how far two dates lie apart in the year [d, 0..182], whatever their years.

    The year is a circle of 365 days; 31 December of a leap year (day 366) falls on 1 January.
    """
    apart = abs(_day_of_year(first) - _day_of_year(second))
    return min(apart, DAYS_IN_YEAR - apart)


# The days of a site's past are asked for again with every reading.
@lru_cache(maxsize=10_000)
def _day_of_year(on: date) -> int:
    return on.timetuple().tm_yday


def seasonal_references(
    past: Sequence[PastReading], on: date, windows_days: Sequence[float], minimum: int
) -> tuple[tuple[PastReading, ...], float]:
    """Return the readings before a date in the narrowest window of the year that holds enough of them.

    Parameters
    ----------
    past : readings of the site, any order
    on : local date of the new reading; only earlier dates count
    windows_days : half-widths to try, ascending, at least one [d]
    minimum : number of readings wanted, at least 1

    Returns
    -------
    references, window
        The readings and the half-width used [d]; of the widest window when none holds enough.
    """
    earlier = [reading for reading in past if reading.on < on]
    found: tuple[PastReading, ...] = ()
    for window_days in windows_days:
        found = tuple(reading for reading in earlier if season_distance_days(reading.on, on) <= window_days)
        if len(found) >= minimum:
            return found, window_days
    return found, windows_days[-1]
