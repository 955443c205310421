"""Exact tests of paired differences: is one place higher than the other on the same days, and by how much.

Everything is counted and nothing approximated: readings by kit have few distinct values, so that ties and
zeros are the rule. Differences that are 0 tell no direction; the tests leave them out, the size keeps them.

Reference
---------
Signs: the binomial distribution with one half. Signed ranks: Wilcoxon 1945, Biometrics Bulletin 1(6):80-83;
with ties, the exact distribution of the average ranks as they are. Size: Hodges & Lehmann 1963, Annals of
Mathematical Statistics 34(2):598-611. Several tests at once: Holm 1979, Scandinavian Journal of Statistics
6(2):65-70. All from memory.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import comb

import numpy as np
from numpy.typing import NDArray

_NOISE_DECIMALS = 9  # 10.6 - 10.4 and 9.2 - 9.0 are one tie on paper; no kit has steps near 1e-9
_OUTSIDE_AT_MOST = 0.05
_FEWEST_FOR_BOUNDS = 6  # with 5 even the widest interval holds the truth in 93.75 of 100 cases only

_Numbers = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Signs:
    """How many differences are above 0, below 0 and 0."""

    plus: int
    minus: int
    zero: int


@dataclass(frozen=True, slots=True)
class SignedRanks:
    """``w_plus`` of at most ``w_most`` [sums of ranks] over ``n`` differences that are not 0; its ``p``."""

    w_plus: float
    w_most: float
    n: int
    p: float


@dataclass(frozen=True, slots=True)
class ShiftInterval:
    """Bounds of the middle difference [the unit of the differences]; ``coverage`` is exact without ties."""

    low: float
    high: float
    coverage: float


def count_signs(differences: Iterable[float]) -> Signs:
    """Return how many differences are above 0, below 0 and 0, but for the noise of floating point.

    Parameters
    ----------
    differences : iterable of float
        Differences [any one unit]; may be infinite.

    Returns
    -------
    Signs
        The three counts.
    """
    signs = np.sign(_without_noise(differences))
    return Signs(int(np.sum(signs > 0)), int(np.sum(signs < 0)), int(np.sum(signs == 0)))


def sign_test(plus: int, minus: int) -> float:
    """Return the chance of signs at least as one-sided as these when both signs are equally likely.

    Parameters
    ----------
    plus, minus : int
        Numbers of differences above and below 0, 0 or more; zeros are left out.

    Returns
    -------
    float
        Two-sided exact p, 0 to 1; 1 when there is no sign at all.
    """
    if plus < 0 or minus < 0:
        raise ValueError(f"a number of signs is never below 0, as in {plus} and {minus}")
    signs = plus + minus
    tail = sum(comb(signs, fewer) for fewer in range(min(plus, minus) + 1))
    return min(1.0, float(2 * tail / 2**signs))


def signed_rank_test(differences: Iterable[float]) -> SignedRanks:
    """Return the chance of sums of ranks at least as one-sided when every sign could as well be the other.

    Parameters
    ----------
    differences : iterable of float
        Finite differences [any one unit]; zeros are left out, ties get the average of their ranks.

    Returns
    -------
    SignedRanks
        With the two-sided exact p over all 2^n patterns of signs; 1 when every difference is 0.

    Notes
    -----
    The patterns are not listed one by one: the doubled ranks are whole numbers, and how many patterns give
    each sum is added up rank by rank. Only sums up to the smaller one are needed.
    """
    known = _without_noise(differences)
    if not np.all(np.isfinite(known)):
        raise ValueError("a difference without a number has no rank; use the sign test")
    moved = known[known != 0]
    doubled = _doubled_ranks(np.abs(moved))
    most, above = int(doubled.sum()), int(doubled[moved > 0].sum())
    tail = float(_chance_of_sums(doubled, min(above, most - above)).sum())
    return SignedRanks(w_plus=above / 2, w_most=most / 2, n=len(moved), p=min(1.0, 2 * tail))


def hodges_lehmann(differences: Iterable[float]) -> float:
    """Return the median of the means of all two differences, each with itself included.

    Parameters
    ----------
    differences : iterable of float
        At least one difference [any one unit], zeros included; infinite ones all on one side.

    Returns
    -------
    float
        The middle difference [the same unit]; infinite where too many are.
    """
    return float(np.round(np.median(_walsh_averages(differences)), _NOISE_DECIMALS))


def shift_interval(differences: Sequence[float]) -> ShiftInterval:
    """Return the narrowest bounds of the middle difference that hold it in 95 of 100 cases or more.

    Parameters
    ----------
    differences : sequence of float
        At least 6 differences [any one unit], zeros included; infinite ones all on one side.

    Returns
    -------
    ShiftInterval
        The k-th smallest and k-th largest mean of two differences, and the share of cases reached.
    """
    if len(differences) < _FEWEST_FOR_BOUNDS:
        raise ValueError(f"bounds need {_FEWEST_FOR_BOUNDS} differences or more, not {len(differences)}")
    place, coverage = _place_of_bounds(len(differences))
    ordered = np.sort(_walsh_averages(differences)).round(_NOISE_DECIMALS)
    return ShiftInterval(float(ordered[place - 1]), float(ordered[-place]), coverage)


def holm(chances: Sequence[float]) -> tuple[float, ...]:
    """Return the p of several tests adjusted so that one false alarm among all of them stays as rare.

    Parameters
    ----------
    chances : sequence of float
        p of each test, 0 to 1.

    Returns
    -------
    tuple of float
        Adjusted p in the order given: the smallest times the number of tests, the next times one less, and
        so on, never falling and never above 1.
    """
    adjusted = [1.0] * len(chances)
    highest = 0.0
    for done, place in enumerate(sorted(range(len(chances)), key=lambda place: chances[place])):
        highest = max(highest, min(1.0, (len(chances) - done) * chances[place]))
        adjusted[place] = highest
    return tuple(adjusted)


def _without_noise(differences: Iterable[float]) -> _Numbers:
    return np.asarray(tuple(differences), dtype=np.float64).round(_NOISE_DECIMALS)


def _doubled_ranks(sizes: _Numbers) -> NDArray[np.int64]:
    """Return twice the rank of each size; ties share the average of their ranks."""
    _, group, count = np.unique(sizes, return_inverse=True, return_counts=True)
    last = np.cumsum(count)
    return np.asarray((2 * last - count + 1)[group], dtype=np.int64)


def _chance_of_sums(ranks: Iterable[int], up_to: int) -> _Numbers:
    """Return the chance of each sum from 0 to ``up_to`` when every rank counts or not with one half."""
    chances = np.zeros(up_to + 1)
    chances[0] = 1.0
    for rank in ranks:
        without = chances / 2
        chances = without.copy()
        if rank <= up_to:
            chances[rank:] += without[: up_to + 1 - rank]
    return chances


def _walsh_averages(differences: Iterable[float]) -> _Numbers:
    known = _without_noise(differences)
    if not len(known):
        raise ValueError("no differences: there is no middle of none")
    first, second = np.triu_indices(len(known))
    return np.asarray((known[first] + known[second]) / 2, dtype=np.float64)


@lru_cache(maxsize=64)
def _place_of_bounds(count: int) -> tuple[int, float]:
    """Return k of the k-th smallest and largest mean that bound the middle, and the share of cases held."""
    sums = _chance_of_sums(range(1, count + 1), count * (count + 1) // 4)
    outside = 2 * np.cumsum(sums)
    place = int(np.searchsorted(outside, _OUTSIDE_AT_MOST + 1e-12, side="right"))
    return place, 1.0 - float(outside[place - 1])
