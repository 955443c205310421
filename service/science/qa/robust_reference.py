"""Is a new value far from what is usual? Median and MAD, made fit for kits with steps and limits.

The spread never falls under a floor that the kit's step sets, the threshold depends on how many references
stand behind it, censored values count by what they certainly say, and where other sites of the watershed were
read in the same week, what happened to all of them (a storm) is taken off.

Reference
---------
Iglewicz & Hoaglin 1993, ASQC Basic References in Quality Control vol. 16 (median and MAD). Floor, threshold
by count and the correction from neighbours are our own, tuned and measured by simulation.
"""

import math
from bisect import bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import median

from service.science.types import Censoring

SIDES = tuple(Censoring)
MAD_TO_SIGMA = 1.4826  # 1 / 0.6745: the MAD of normal data times this is their standard deviation


@dataclass(frozen=True, slots=True)
class Point:
    """A value on the scale of comparison; of a censored one, its limit."""

    value: float
    censored: Censoring | None = None


@dataclass(frozen=True, slots=True)
class Centre:
    """What is usual: median, MAD, spread (never under the floor) and the count behind them.

    ``censored`` is set when half or more of the references lie beyond one limit: then the median is only
    known to lie beyond ``median``. ``cut`` counts the references that were cut at the limit of another.
    """

    median: float
    mad: float
    spread: float
    count: int
    censored: Censoring | None = None
    cut: int = 0


@dataclass(frozen=True, slots=True)
class Neighbourhood:
    """What the other sites of the watershed say, on the scale of comparison.

    ``anomalies`` are this week's distances of the other sites from their own medians; ``past_residuals`` are
    this site's earlier anomalies of the season, each less the median anomaly of its neighbours in its week.
    """

    anomalies: tuple[float, ...] = ()
    past_residuals: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Judgement:
    """Distance from the own history and, with neighbours, from what they lead one to expect, in spreads."""

    suspect: bool
    z_own: float
    threshold_own: float
    z_residual: float | None = None
    threshold_residual: float | None = None


def threshold(count: int, table: Mapping[int, float]) -> float:
    """Return the distance, in spreads, from which a value is suspect; linear between the counts of the table.

    Parameters
    ----------
    count : number of references; beyond the largest count of the table its last value holds
    table : threshold by number of references

    Raises
    ------
    ValueError
        Fewer references than the table begins with.
    """
    counts = sorted(table)
    if count < counts[0]:
        raise ValueError(f"{count} references, but the thresholds begin at {counts[0]}")
    if count >= counts[-1]:
        return table[counts[-1]]
    after = bisect_right(counts, count)
    low, high = counts[after - 1], counts[after]
    return table[low] + (table[high] - table[low]) / (high - low) * (count - low)


def centre_of(points: Sequence[Point], floor: float) -> Centre:
    """Return what is usual among the references.

    Readings with several limits (a long and a short tube) are first cut at the narrowest of them, as only up
    to there they can be compared. A censored one then stands at its limit: a median only asks for ranks.

    Parameters
    ----------
    points : at least one reference on the scale of comparison
    floor : smallest believable spread on that scale, > 0

    Raises
    ------
    ValueError
        No reference, no floor, or limits that leave nothing to compare.
    """
    if not points or floor <= 0:
        raise ValueError("a centre needs a reference and a floor above 0")
    compared = _cut_at_common_limits(points)
    beyond = [
        side for side in SIDES if 2 * sum(point.censored is side for point in compared) >= len(compared)
    ]
    if len(beyond) > 1:
        raise ValueError("half of the references lie below the kit and half above")
    values = [point.value for point in compared]
    middle = median(values)
    if beyond:
        middle = next(point.value for point in compared if point.censored is beyond[0])
    mad = median(abs(value - middle) for value in values)
    cut = sum(before != after for before, after in zip(points, compared, strict=True))
    return Centre(
        middle, mad, max(MAD_TO_SIGMA * mad, floor), len(values), beyond[0] if beyond else None, cut
    )


def _cut_at_common_limits(points: Sequence[Point]) -> tuple[Point, ...]:
    if all(point.censored is None for point in points):
        return tuple(points)
    lowest = max((point.value for point in points if point.censored is Censoring.BELOW), default=-math.inf)
    highest = min((point.value for point in points if point.censored is Censoring.ABOVE), default=math.inf)
    if lowest >= highest:
        raise ValueError("the limits of the references leave nothing to compare")
    return tuple(_cut(point, lowest, highest) for point in points)


def _cut(point: Point, lowest: float, highest: float) -> Point:
    if point.value < lowest or point.censored is Censoring.BELOW:
        return Point(lowest, Censoring.BELOW)
    if point.value > highest or point.censored is Censoring.ABOVE:
        return Point(highest, Censoring.ABOVE)
    return point


def smallest_distance(point: Point, centre: float, centre_censored: Censoring | None = None) -> float:
    """Return the smallest distance that a value can truly have from a centre, given what is censored.

    "More than 120" against a centre of 150 may be no distance at all; 40 against a centre "more than 60" is
    at least 20.
    """
    above, below = point.value - centre, centre - point.value
    if point.censored is Censoring.ABOVE or centre_censored is Censoring.BELOW:
        below = 0.0
    if point.censored is Censoring.BELOW or centre_censored is Censoring.ABOVE:
        above = 0.0
    return max(above, below, 0.0)


def judge(
    point: Point,
    centre: Centre,
    floor: float,
    thresholds: Mapping[int, float],
    neighbourhood: Neighbourhood | None = None,
    *,
    neighbours_minimum: int = 3,
    z_own_minimum: float = 2.0,
) -> Judgement:
    """Judge a value by the own history, or with enough neighbours by what is left after their common shift.

    Parameters
    ----------
    point : the new value on the scale of comparison
    centre : what is usual at the site; at least as many references as the thresholds begin with
    floor : smallest believable spread of the residuals, > 0
    thresholds : suspect beyond, by number of references
    neighbourhood : other sites of the watershed in the same week
    neighbours_minimum : anomalies needed before neighbours count
    z_own_minimum : with neighbours, a value this near to its own history is never suspect [spreads]
    """
    z_own = smallest_distance(point, centre.median, centre.censored) / centre.spread
    threshold_own = threshold(centre.count, thresholds)
    around = neighbourhood or Neighbourhood()
    if len(around.anomalies) >= neighbours_minimum and centre.censored is not None:
        # Of a site that is usually beyond the kit no residuals exist: the limit itself moves with the others.
        expected = centre.median + median(around.anomalies)
        z_residual = smallest_distance(point, expected, centre.censored) / centre.spread
        suspect = z_residual > threshold_own and z_own > z_own_minimum
        return Judgement(suspect, z_own, threshold_own, z_residual, threshold_own)
    too_few = len(around.anomalies) < neighbours_minimum or len(around.past_residuals) < min(thresholds)
    if too_few:
        return Judgement(z_own > threshold_own, z_own, threshold_own)
    residuals = centre_of([Point(residual) for residual in around.past_residuals], floor)
    expected = centre.median + median(around.anomalies) + residuals.median
    z_residual = smallest_distance(point, expected) / residuals.spread
    threshold_residual = threshold(residuals.count, thresholds)
    suspect = z_residual > threshold_residual and z_own > z_own_minimum
    return Judgement(suspect, z_own, threshold_own, z_residual, threshold_residual)
