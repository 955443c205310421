"""The seasonal Kendall test: each month is compared with itself in other years, and the scores are added.

Reference
---------
Hirsch, Slack & Smith 1982. Techniques of trend analysis for monthly water quality data. Water Resources
Research 18(1):107-121 (from memory). The normal formula is too rough under 10 years and with many ties: there
the chance is counted out.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from functools import reduce
from math import copysign, erfc, sqrt

import numpy as np

from service.science.trend.mann_kendall import (
    Numbers,
    kendall_score,
    pairs,
    score_distribution,
    score_variance,
    tie_sizes,
)

_NORMAL_FROM_YEARS = 10
_HEAVY_TIES_SHARE = 0.5  # of the values of one month that are all the same


class PMethod(StrEnum):
    """How a p was found: every order counted out, or by the normal curve."""

    EXACT = "exact"
    NORMAL = "normal"


@dataclass(frozen=True, slots=True)
class KendallTest:
    """A score ``s``, its variance, ``z`` and two-sided ``p``; ``tau`` is ``s`` over the number of pairs."""

    s: int
    variance: float
    z: float
    p: float
    method: PMethod
    tau: float


def seasonal_kendall(table: Numbers) -> KendallTest:
    """Test the months of some years for one common trend; a single month is Mann-Kendall's own test.

    Parameters
    ----------
    table : array
        One row a year in the order of time, one column a month [any one unit]; NaN where nothing was
        measured, infinite beyond a limit. Some month has two values or more.

    Returns
    -------
    KendallTest
        ``p`` is exact where a month has under 10 years, or where half of its values or more are the same.
    """
    months = [table[:, column] for column in range(table.shape[1])]
    s, variance = sum(map(kendall_score, months)), sum(map(score_variance, months))
    z = continuous_z(s, variance)
    exact = any(map(_needs_counting, months))
    return KendallTest(
        s=s,
        variance=variance,
        z=z,
        p=_counted_p(s, months) if exact else normal_p(z),
        method=PMethod.EXACT if exact else PMethod.NORMAL,
        tau=s / sum(map(pairs, months)),
    )


def continuous_z(s: int, variance: float) -> float:
    """Return the score one nearer to 0 (the correction for continuity) over its standard deviation."""
    return copysign(abs(s) - 1, s) / sqrt(variance) if s and variance > 0 else 0.0


def normal_p(z: float) -> float:
    """Return the chance [0 to 1] that a normal deviate is at least as far from 0 as ``z``."""
    return erfc(abs(z) / sqrt(2))


def _needs_counting(month: Numbers) -> bool:
    ties = tie_sizes(month)
    return sum(ties) < _NORMAL_FROM_YEARS or max(ties) >= _HEAVY_TIES_SHARE * sum(ties)


def _counted_p(s: int, months: Iterable[Numbers]) -> float:
    """Return the chance of a score at least as far from 0, when every order within a month is as likely."""
    chances = reduce(np.convolve, map(score_distribution, months))
    most = len(chances) - 1
    scores = most - 2 * np.arange(len(chances))
    return min(float(np.sum(chances[np.abs(scores) >= abs(s)])), 1.0)
