"""Measures of diversity from the number of animals of each taxon; the last axis of an array holds the taxa.

Reference
---------
Shannon, C.E. 1948. A mathematical theory of communication. Bell System Technical Journal 27:379-423. Simpson,
E.H. 1949. Measurement of diversity. Nature 163:688. Pielou, E.C. 1966. The measurement of diversity in
different types of biological collections. Journal of Theoretical Biology 13:131-144 (all from memory).
"""

import numpy as np
from numpy.typing import NDArray

Animals = NDArray[np.int64] | NDArray[np.float64]


def shannon_entropy(animals: Animals) -> NDArray[np.float64]:
    """Return the sum of -p ln p over the taxa, p being the share of each; natural logarithm.

    Parameters
    ----------
    animals : array
        Animals of each taxon, 0 or more, together above 0.

    Returns
    -------
    array
        Diversity [nats], 0 or more, one number for each row of taxa.

    Reference
    ---------
    Shannon 1948, as in the heading of this module.
    """
    shares = _shares(animals)
    logarithms = np.log(shares, out=np.zeros_like(shares), where=shares > 0.0)
    return np.asarray(np.abs(np.sum(shares * logarithms, axis=-1)))


def simpson_diversity(animals: Animals) -> NDArray[np.float64]:
    """Return 1 less the sum of the squared shares: the chance that two animals, with return, differ in taxon.

    Parameters
    ----------
    animals : array
        Animals of each taxon, 0 or more, together above 0.

    Returns
    -------
    array
        Diversity, without unit, 0 to below 1, one number for each row of taxa.

    Reference
    ---------
    Simpson 1949, as in the heading of this module.
    """
    return np.asarray(1.0 - np.sum(_shares(animals) ** 2, axis=-1))


def pielou_evenness(animals: Animals) -> NDArray[np.float64]:
    """Return Shannon's diversity divided by its greatest for as many taxa, the logarithm of their number.

    Parameters
    ----------
    animals : array
        Animals of each taxon, 0 or more, together above 0.

    Returns
    -------
    array
        Evenness, without unit, 0 to 1, one number for each row of taxa; not a number for one taxon alone.

    Reference
    ---------
    Pielou 1966, as in the heading of this module.
    """
    entropy = shannon_entropy(animals)
    taxa = np.count_nonzero(animals, axis=-1)
    evenness = np.full_like(entropy, np.nan)
    np.divide(entropy, np.log(taxa), out=evenness, where=taxa > 1)
    return evenness


def _shares(animals: Animals) -> NDArray[np.float64]:
    counts = np.asarray(animals, dtype=np.float64)
    totals = counts.sum(axis=-1, keepdims=True)
    if (counts < 0.0).any() or (totals <= 0.0).any():
        raise ValueError("a number of animals is negative, or there are no animals at all")
    return np.asarray(counts / totals)
