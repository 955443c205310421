"""Geometric means and shares of bacteria counts, of which some are only known to lie beyond a limit.

No colony in 1 mL is "less than 100 in 100 mL", never 0, and a full tray is "more than 2419.6". A mean that
holds such counts carries their mark. The model is maximum likelihood by expectation and maximisation: what
lies beyond a limit enters with the mean and the spread that the fit itself gives it, until nothing moves.

Reference
---------
Cohen 1959, Simplified estimators for the normal distribution when samples are singly censored or truncated,
Technometrics 1(3):217-237; Dempster, Laird & Rubin 1977, J. R. Stat. Soc. B 39(1):1-38 (both from memory).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from service.science.censored_median import Interval
from service.science.types import Censoring

Count = tuple[float, Censoring | None]
FEWEST_COUNTS_FOR_MODEL = 5
_STEPS_AT_MOST = 10_000
_STANDS_STILL = 1e-12
_FAR_TAIL = -30.0  # beyond it the normal distribution runs out of floating point


class Bound(StrEnum):
    """What a mean says of the true one."""

    EXACT = "exact"
    AT_LEAST = ">="
    AT_MOST = "<="


@dataclass(frozen=True, slots=True)
class GeometricMean:
    """A geometric mean with its mark; without one, limits on both sides leave nothing to be said of it."""

    value: float
    mark: Bound | None


@dataclass(frozen=True, slots=True)
class LognormalFit:
    """The fitted geometric mean [the unit of the counts]; mean and deviation of the natural logarithms."""

    value: float
    log_mean: float
    log_sd: float


@dataclass(frozen=True, slots=True)
class Share:
    """How many of some samples lie above a value: at least and at most; equal where every one decides."""

    at_least: int
    at_most: int
    samples: int

    @property
    def percent_at_least(self) -> float:
        """The least share that lies above [%]."""
        return 100.0 * self.at_least / self.samples

    @property
    def percent_at_most(self) -> float:
        """The largest share that may lie above [%]."""
        return 100.0 * self.at_most / self.samples


def geometric_mean_at_limits(counts: Sequence[Count]) -> GeometricMean:
    """Return the geometric mean with every censored count at its limit, and which bound it is.

    Parameters
    ----------
    counts : sequence of (value, Censoring or None)
        Counts [one unit], each above 0; at least one.

    Returns
    -------
    GeometricMean
        Mean [the unit of the counts].

    Raises
    ------
    ValueError
        No count, or one that is not above 0: no colony is less than the kit's first mark.
    """
    _require_counts(counts)
    value = math.exp(sum(math.log(count) for count, _ in counts) / len(counts))
    sides = {mark for _, mark in counts if mark is not None}
    if len(sides) == 2:
        return GeometricMean(value, None)
    above, below = Censoring.ABOVE in sides, Censoring.BELOW in sides
    return GeometricMean(value, Bound.AT_LEAST if above else Bound.AT_MOST if below else Bound.EXACT)


def geometric_mean_bounds(intervals: Sequence[Interval]) -> Interval:
    """Return the smallest and the largest geometric mean that counts within intervals can have.

    Parameters
    ----------
    intervals : sequence of (low, high)
        At least one; 0 <= low <= high, infinite where open.

    Returns
    -------
    tuple of float
        0 when a low is 0, infinite when a high is open.
    """
    if not intervals:
        raise ValueError("no counts: there is no mean of none")
    low, high = (
        0.0 if min(ends) <= 0.0 else math.exp(sum(map(math.log, ends)) / len(ends))
        for ends in zip(*intervals, strict=True)
    )
    return low, high


def geometric_mean_model(counts: Sequence[Count]) -> LognormalFit | None:
    """Return the geometric mean that a lognormal distribution fits best.

    Parameters
    ----------
    counts : sequence of (value, Censoring or None)
        Counts [one unit], each above 0.

    Returns
    -------
    LognormalFit or None
        ``None`` under five counts, when less than half are numbers, or when all numbers are the same: then
        the fit would stand on the limits and not on the counts.

    Raises
    ------
    ValueError
        No count, or one that is not above 0.

    Notes
    -----
    The deviation is that of maximum likelihood, with n and not n - 1 below it.

    Reference
    ---------
    Cohen 1959; Dempster et al. 1977, as in the heading of this module.
    """
    _require_counts(counts)
    numbers = [value for value, mark in counts if mark is None]
    if len(counts) < FEWEST_COUNTS_FOR_MODEL or 2 * len(numbers) < len(counts) or len(set(numbers)) < 2:
        return None
    logs = np.log([value for value, _ in counts])
    side = np.array([_side(mark) for _, mark in counts])
    mean, deviation = float(np.mean(logs)), float(np.std(logs))
    for _ in range(_STEPS_AT_MOST):
        expected, spread = _beyond_limits(logs, side, mean, deviation)
        next_mean = float(np.mean(expected))
        next_deviation = math.sqrt(float(np.mean((expected - next_mean) ** 2 + spread)))
        moved = max(abs(next_mean - mean), abs(next_deviation - deviation))
        mean, deviation = next_mean, next_deviation
        if moved < _STANDS_STILL:
            break
    return LognormalFit(math.exp(mean), mean, deviation)


def share_above(intervals: Sequence[Interval], threshold: float) -> Share:
    """Return how many counts lie above a value; one whose interval holds the value decides nothing.

    Parameters
    ----------
    intervals : sequence of (low, high)
        At least one; twice the count, or from a limit to its open side.
    threshold : float
        The value [the unit of the counts]; equal to it is not above.

    Returns
    -------
    Share
    """
    if not intervals:
        raise ValueError("no counts: there is no share of none")
    above = sum(low > threshold or (low == threshold < high) for low, high in intervals)
    perhaps = sum(high > threshold for _, high in intervals)
    return Share(above, perhaps, len(intervals))


def _require_counts(counts: Sequence[Count]) -> None:
    if not counts:
        raise ValueError("no counts: there is no mean of none")
    if not all(0.0 < value < math.inf for value, _ in counts):
        raise ValueError("a count is not above 0: no colony is less than the first mark of the kit, not 0")


def _side(mark: Censoring | None) -> float:
    return 0.0 if mark is None else -1.0 if mark is Censoring.BELOW else 1.0


def _beyond_limits(
    logs: NDArray[np.float64], side: NDArray[np.float64], mean: float, deviation: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return mean and variance of each logarithm: itself and 0, or those beyond its limit."""
    # How far the limit lies towards the open side, in deviations: turned so that the open side is below.
    limits = -side * (logs - mean) / deviation
    kinds, places = np.unique(limits, return_inverse=True)
    ratios = np.array([_density_over_share(limit) for limit in kinds])[places]
    expected = np.where(side == 0.0, logs, mean + side * deviation * ratios)
    spread = np.where(side == 0.0, 0.0, deviation**2 * (1.0 - limits * ratios - ratios**2))
    return expected, np.maximum(spread, 0.0)


def _density_over_share(limit: float) -> float:
    """Return the normal density at a limit over the share below it."""
    if limit < _FAR_TAIL:
        return -limit - 1.0 / limit
    density = math.exp(-limit * limit / 2.0) / math.sqrt(2.0 * math.pi)
    return density / (0.5 * math.erfc(-limit / math.sqrt(2.0)))
