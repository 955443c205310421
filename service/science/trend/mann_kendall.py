"""Mann-Kendall's score of one series: how much oftener a later value is the higher one.

Ties count for neither side. Values beyond a limit stand at minus or plus infinity: each ties with the others
beyond the same limit and lies outside all that were measured, so no number is ever put in their place.

Reference
---------
Mann 1945, Econometrica 13(3):245-259; Kendall 1975, Rank Correlation Methods (variance with ties). The exact
distribution is that of the inversions of a permutation with repeated elements, a product of Gaussian
binomials: Andrews 1976, The Theory of Partitions, chapter 3. All from memory.
"""

from math import comb

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]


def pair_signs(series: Numbers) -> Numbers:
    """Return for each pair of years whether the later value is higher (1), lower (-1) or neither (0).

    Parameters
    ----------
    series : array
        Values in the order of time along the first axis [any one unit]; NaN where nothing was measured,
        infinite beyond a limit.

    Returns
    -------
    array
        Element (i, j, ...) compares j with i; 0 where one of the two is missing.
    """
    earlier, later = series[:, np.newaxis], series[np.newaxis, :]
    return np.greater(later, earlier).astype(np.float64) - np.less(later, earlier)


def kendall_score(series: Numbers) -> int:
    """Return S: pairs of which the later value is the higher, less those of which it is the lower.

    Parameters
    ----------
    series : array
        One series, as for :func:`pair_signs`.

    Returns
    -------
    int
        Up to n (n - 1) / 2 on either side of 0.
    """
    return int(np.sum(np.triu(pair_signs(series))))


def score_variance(series: Numbers) -> float:
    """Return the variance that S has when every order of these values is equally likely.

    Parameters
    ----------
    series : array
        One series, as for :func:`pair_signs`.

    Returns
    -------
    float
        [n (n - 1) (2n + 5) - sum of t (t - 1) (2t + 5) over groups of t equal values] / 18.
    """
    ties = tie_sizes(series)
    return (_variance_term(sum(ties)) - sum(_variance_term(size) for size in ties)) / 18


def score_distribution(series: Numbers) -> Numbers:
    """Return the chances of S when every order of these values is equally likely, ties as they are.

    Parameters
    ----------
    series : array
        One series, as for :func:`pair_signs`.

    Returns
    -------
    array
        Chances [0 to 1] of S = m, m - 2, ... -m, where m is the number of pairs that are not tied.
    """
    orders, placed = [1], 0
    for size in tie_sizes(series):
        for rank in range(1, size + 1):
            orders = _divided(_multiplied(orders, placed + rank), rank)
        placed += size
    total = sum(orders)
    return np.array([ways / total for ways in orders])


def tie_sizes(series: Numbers) -> list[int]:
    """Return how often each value of a series occurs; 1 for a value that stands alone."""
    _, counts = np.unique(series[~np.isnan(series)], return_counts=True)
    return [int(count) for count in counts]


def pairs(series: Numbers) -> int:
    """Return how many pairs of values a series holds, tied ones too."""
    return comb(int(np.sum(~np.isnan(series))), 2)


def _variance_term(count: int) -> int:
    return count * (count - 1) * (2 * count + 5)


def _multiplied(polynomial: list[int], power: int) -> list[int]:
    """Return a polynomial times (1 - x^power), lowest coefficient first."""
    longer = polynomial + [0] * power
    return [here - (longer[place - power] if place >= power else 0) for place, here in enumerate(longer)]


def _divided(polynomial: list[int], power: int) -> list[int]:
    """Return a polynomial over (1 - x^power), which divides it."""
    quotient: list[int] = []
    for place, here in enumerate(polynomial[:-power]):
        quotient.append(here + (quotient[place - power] if place >= power else 0))
    return quotient
