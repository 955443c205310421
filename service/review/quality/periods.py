"""Stretches of the year that a report counts by."""

from datetime import date
from enum import StrEnum

SEASON_MONTHS = 3
LAST_MONTH = 12


class Period(StrEnum):
    """How long a stretch is; a season is three months that begin in December, March, June or September."""

    MONTH = "month"
    SEASON = "season"
    YEAR = "year"


def first_day(year: int, month: int, period: Period) -> date:
    """Return the first day of the stretch that a month belongs to; January's season began in December."""
    if period is Period.YEAR:
        return date(year, 1, 1)
    if period is Period.MONTH:
        return date(year, month, 1)
    begins = month - month % SEASON_MONTHS
    return date(year, begins, 1) if begins else date(year - 1, LAST_MONTH, 1)
