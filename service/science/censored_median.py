"""Medians and other quantiles of readings of which some are only known as "<" or ">" a limit.

Every reading is an interval, low to high. The quantile of the readings then lies between the quantile of the
lows and the quantile of the highs. No distribution is assumed and nothing is put in place of a limit.

Reference
---------
The bounds follow from order alone: raising any reading cannot lower an order statistic. Why limits must not
be replaced by half: Helsel, D.R. 2006, Fabricating data, Chemosphere 65:2434-2439.
"""

from collections.abc import Iterable
from math import ceil

from service.science.types import Censoring

Interval = tuple[float, float]
TOLERANCE = 1e-9


def quantile_interval(intervals: Iterable[Interval], probability: float) -> Interval:
    """Return the bounds of a quantile: the smallest reading x with P(X <= x) >= probability.

    Parameters
    ----------
    intervals : iterable of (low, high)
        Readings [any one unit], low <= high; ``high`` infinite for ">", ``low`` 0 or minus infinity for "<".
    probability : float
        Above 0, up to 1. A share that meets it within 1e-9 counts as meeting it.

    Returns
    -------
    tuple of float
        Lower and upper bound of the quantile [the unit of the readings].
    """
    if not 0.0 < probability <= 1.0:
        raise ValueError(f"a probability of {probability:g} is not above 0 and up to 1")
    lows, highs = _sorted_bounds(intervals)
    place = max(ceil(probability * len(lows) - TOLERANCE), 1) - 1
    return lows[place], highs[place]


def median_interval(intervals: Iterable[Interval]) -> Interval:
    """Return the bounds of the median, for an even number the mean of the two middle readings.

    Parameters
    ----------
    intervals : iterable of (low, high)
        As for :func:`quantile_interval`.

    Returns
    -------
    tuple of float
        Lower and upper bound of the median [the unit of the readings]; the upper one is infinite when a
        middle reading is open above.
    """
    lows, highs = _sorted_bounds(intervals)
    return _middle(lows), _middle(highs)


def percent_detected(censorings: Iterable[Censoring | None]) -> float:
    """Return the share of readings that found something, that is all but those "<" a limit.

    Parameters
    ----------
    censorings : iterable of Censoring or None
        One for each reading; at least one.

    Returns
    -------
    float
        Readings not below their limit [%].
    """
    marks = tuple(censorings)
    if not marks:
        raise ValueError("no readings: there is no share of none")
    return 100.0 * sum(mark is not Censoring.BELOW for mark in marks) / len(marks)


def _sorted_bounds(intervals: Iterable[Interval]) -> tuple[list[float], list[float]]:
    readings = tuple(intervals)
    if not readings:
        raise ValueError("no readings: there is no quantile of none")
    if any(not low <= high for low, high in readings):
        raise ValueError("a reading has its low above its high")
    return sorted(low for low, _ in readings), sorted(high for _, high in readings)


def _middle(ordered: list[float]) -> float:
    half = len(ordered) // 2
    return ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half]) / 2
