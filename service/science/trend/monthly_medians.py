"""One value a month: weekly readings become their median, and the months that are compared become a table.

A median a month takes away most of the likeness of one week to the next, and the weight of busy months.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from math import isinf

import numpy as np

from service.science.censored_median import Interval, median_interval
from service.science.trend.mann_kendall import Numbers

_DIGITS = 12  # (0.1 + 0.7) / 2 ties with 0.4 on paper


@dataclass(frozen=True, slots=True)
class Observation:
    """One value on a local date: ``low`` and ``high`` are equal unless it is censored.

    ``method`` is the kind of method in a few words; values of two kinds are not compared. ``kit`` is the code
    of the kit, ``step`` its step at this value [the unit of the value].
    """

    on: date
    low: float
    high: float
    method: str
    kit: str | None = None
    step: float | None = None


@dataclass(frozen=True, slots=True)
class MonthlyMedian:
    """The median of the ``readings`` of one month lies between ``low`` and ``high`` [their unit]."""

    year: int
    month: int
    low: float
    high: float
    readings: int

    @property
    def known(self) -> bool:
        """Tell whether it is bounded on one side at least."""
        return not (isinf(self.low) and isinf(self.high))


@dataclass(frozen=True, slots=True)
class SeasonTable:
    """Bounds of the medians, a row a year and a column a month; NaN where a month was not measured."""

    years: tuple[int, ...]
    months: tuple[int, ...]
    lows: Numbers
    highs: Numbers

    def holds(self, median: MonthlyMedian) -> bool:
        """Tell whether a median has a place in the table."""
        return median.known and median.month in self.months


def monthly_medians(observations: Iterable[Observation]) -> tuple[MonthlyMedian, ...]:
    """Return the median of each month that has observations, in the order of time."""
    grouped: defaultdict[tuple[int, int], list[Interval]] = defaultdict(list)
    for one in observations:
        grouped[one.on.year, one.on.month].append((one.low, one.high))
    medians = ((when, median_interval(found), len(found)) for when, found in sorted(grouped.items()))
    return tuple(
        MonthlyMedian(year, month, _tidy(low), _tidy(high), readings)
        for (year, month), (low, high), readings in medians
    )


def season_table(medians: Sequence[MonthlyMedian], fewest_years: int) -> SeasonTable:
    """Return the months that have a known median in enough years, and the years in which they have one.

    Parameters
    ----------
    medians : sequence of MonthlyMedian
        One a month of a year at most.
    fewest_years : int
        Years that a month needs.

    Returns
    -------
    SeasonTable
        Without rows and columns where no month has enough years.
    """
    years_of: defaultdict[int, set[int]] = defaultdict(set)
    for one in medians:
        if one.known:
            years_of[one.month].add(one.year)
    months = sorted(month for month, years in years_of.items() if len(years) >= fewest_years)
    years = sorted(set[int]().union(*(years_of[month] for month in months)))
    lows, highs = np.full((2, len(years), len(months)), np.nan)
    table = SeasonTable(tuple(years), tuple(months), lows, highs)
    for one in filter(table.holds, medians):
        place = years.index(one.year), months.index(one.month)
        lows[place], highs[place] = one.low, one.high
    return table


def _tidy(value: float) -> float:
    return float(f"{value:.{_DIGITS}g}")
