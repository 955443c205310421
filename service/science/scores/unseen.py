"""What nets like this one bring up: how many animals of each kind, also of kinds that this net missed.

A catch that is drawn again from itself can lose a kind and never finds one, and it takes a kind that was met
once for as common as it looked. So the averages of the stretch are drawn first: for a kind with n animals
from a gamma distribution of shape n - 1/2, which is the weight that the process of Pitman and Yor with
discount 1/2 gives it. Beside each met kind stand two that the net missed, all of one shape, so small that
nets like this one gain as many kinds by them on average as they lose of the met ones. Another net then brings
up its own chance number of each.

Reference
---------
Pitman, J. & Yor, M. 1997. The two-parameter Poisson-Dirichlet distribution derived from a stable
subordinator. Annals of Probability 25(2):855-900. Without discount and missed kinds the averages are those of
the Bayesian bootstrap: Rubin, D.B. 1981. Annals of Statistics 9(1):130-134. Where one kind is met once, one
half as often twice and one third as often three times (the log series: Fisher, R.A., Corbet, A.S. & Williams,
C.B. 1943. Journal of Animal Ecology 12:42-58), as in catches of classes, two nets drawn like this differ as
much as real ones. All from memory; the discount and the number of missed kinds are our own choice, tried out
with ``tests/benchmarks/doubt_coverage.py``.
"""

import math
from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from service.science.scores.resampling import DRAWS

DISCOUNT = 0.5
MISSED_PER_KIND = 2
# Two nets differ by the chance of both; one differs from the average of all by its own alone.
ONE_OF_TWO_NETS = 1.0 / math.sqrt(2.0)


def average_animals(counts: Sequence[int] | NDArray[np.float64], seed: int) -> NDArray[np.float64]:
    """Draw for each kind how many animals of it a net like this one brings up on average.

    Parameters
    ----------
    counts : sequence of int, or array
        Animals of each kind that was met, 1 or more.
    seed : int
        Seed of the random numbers, 0 or more; the same seed gives the same draws.

    Returns
    -------
    array
        ``DRAWS`` rows: the kinds that were met, in the order of ``counts``, then those that were missed,
        ``MISSED_PER_KIND`` for each [animals].

    Reference
    ---------
    As in the heading of this module. Of a kind with the average a, the share exp(-a) of all nets bring up
    none (Poisson); over a gamma distribution of shape s that is 2 to the power of -s.
    """
    shapes = _shapes(counts)
    return np.random.default_rng(seed).standard_gamma(shapes, size=(DRAWS, len(shapes)))


# A sum and a mean over the same units share what other nets bring up.
@lru_cache(maxsize=8)
def other_nets(counts: tuple[int, ...], bounds: tuple[int, ...], seed: int) -> NDArray[np.int64]:
    """Draw what other nets like this one bring up, told by how many bounds the animals of a kind reach.

    Parameters
    ----------
    counts : tuple of int
        Animals of each kind that was met, 1 or more.
    bounds : tuple of int
        Numbers of animals that matter, each 1 or more: 1 alone asks whether there are any.
    seed : int
        Seed of the random numbers, 0 or more; the same seed gives the same draws.

    Returns
    -------
    array
        Number of bounds that are reached, in the rows and columns of :func:`average_animals`. Scores of these
        nets differ from that of this net by the chance of two nets: :data:`ONE_OF_TWO_NETS` of it is left
        about the average of all nets.

    Reference
    ---------
    As in the heading of this module: a Poisson number about each average. One throw of the dice for each kind
    says which bounds it reaches, with the chances of :func:`chance_of_fewer`.
    """
    shapes = _shapes(counts)
    dice = np.random.default_rng(seed + 1).random((DRAWS, len(shapes)))
    reached = np.zeros(dice.shape, dtype=np.int64)
    for bound in bounds:
        reached += dice >= chance_of_fewer(bound, shapes)
    reached.flags.writeable = False
    return reached


def chance_of_fewer(bound: int, shapes: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the chance that another net brings up fewer animals of a kind than a bound.

    Parameters
    ----------
    bound : int
        Animals, 1 or more.
    shapes : array
        Shape of the gamma distribution of the average of each kind, 0 or more.

    Returns
    -------
    array
        Chance of each kind [0 to 1].

    Reference
    ---------
    Greenwood, M. & Yule, G.U. 1920. Journal of the Royal Statistical Society 83(2):255-279: a Poisson number
    about a gamma distribution is a negative binomial one, here with the chance 1/2 (from memory).
    """
    steps = np.arange(1, bound)
    with np.errstate(divide="ignore"):  # a shape of 0 never brings up any
        ratios = np.log((shapes[:, np.newaxis] + steps - 1) / (2 * steps))
    chances = np.cumsum(np.hstack([-shapes[:, np.newaxis] * math.log(2.0), ratios]), axis=1)
    return np.asarray(np.exp(chances).sum(axis=1))


def _shapes(counts: Sequence[int] | NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the shape of the average of each kind: those that were met, then those that were missed."""
    if len(counts) == 0 or min(counts) < 1:
        raise ValueError("every kind that was met holds at least one animal")
    met = np.asarray(counts, dtype=np.float64) - DISCOUNT
    number_missed = MISSED_PER_KIND * len(counts)
    lost_kinds = float(np.sum(np.exp2(-met)))
    missed = np.full(number_missed, -math.log1p(-lost_kinds / number_missed) / math.log(2.0))
    return np.concatenate([met, missed])
