"""Sen's slope: the median of the changes per year between all pairs of years, each month with itself.

Values known only as below or above a limit make slopes known only within bounds. The median of the slopes
then lies between the medians of their lower and of their upper bounds; nothing is put in place of a limit.

Reference
---------
Sen 1968, Journal of the American Statistical Association 63:1379-1389; the seasonal form Hirsch, Slack &
Smith 1982. The interval, interpolated between ordered slopes: Gilbert 1987, Statistical Methods for
Environmental Pollution Monitoring, section 16.4.2. All from memory.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import isinf, sqrt
from statistics import NormalDist

import numpy as np

from service.science.trend.mann_kendall import Numbers

CONFIDENCE = 0.95


@dataclass(frozen=True, slots=True)
class Slope:
    """The slope [unit of the values per year] lies between ``low`` and ``high``, equal without "<" and ">".

    ``lower`` and ``upper`` bound the 95 % confidence interval, widened by what "<" and ">" leave open.
    """

    low: float
    high: float
    lower: float
    upper: float


def seasonal_slope(years: Sequence[int], lows: Numbers, highs: Numbers, variance: float) -> Slope:
    """Return the median change per year over all pairs of years of the same month, with its interval.

    Parameters
    ----------
    years : sequence of int
        The year of each row, rising.
    lows, highs : array
        One row a year, one column a month: bounds of each value [any one unit], equal where it was measured
        as a number, NaN where nothing was measured, infinite where open. Some month has two values or more.
    variance : float
        Variance of the score of these values, 0 or more.

    Returns
    -------
    Slope
        [the unit of the values per year]
    """
    first, second = np.triu_indices(len(years), k=1)
    apart = np.diff(np.array([np.take(years, first), np.take(years, second)]), axis=0).T
    least, most = (lows[second] - highs[first]) / apart, (highs[second] - lows[first]) / apart
    there = ~np.isnan(least)
    lower_bounds, upper_bounds = np.sort(least[there]), np.sort(most[there])
    reach = NormalDist().inv_cdf((1 + CONFIDENCE) / 2) * sqrt(variance)
    count = len(lower_bounds)
    return Slope(
        low=_ordered(lower_bounds, (count + 1) / 2)[0],
        high=_ordered(upper_bounds, (count + 1) / 2)[1],
        lower=_ordered(lower_bounds, (count - reach) / 2)[0],
        upper=_ordered(upper_bounds, (count + reach) / 2 + 1)[1],
    )


def _ordered(ascending: Numbers, rank: float) -> tuple[float, float]:
    """Return the element of a rank, counted from 1; between two elements in proportion.

    Twice the same number, unless just one of the two is infinite: then both, for nothing lies between them.
    """
    place = min(max(rank, 1.0), float(len(ascending))) - 1
    below, above = (float(ascending[at]) for at in (int(np.floor(place)), int(np.ceil(place))))
    if below == above or isinf(below) or isinf(above):
        return below, above
    between = below + (place - np.floor(place)) * (above - below)
    return float(between), float(between)
