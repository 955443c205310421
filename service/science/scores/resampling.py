"""The doubt of a score that comes from the size of the catch, by drawing the catch again and again.

Each draw takes as many animals as were caught, at random by the shares of the catch (multinomial). The range
is the middle 90 % of the scores of 1000 draws. It tells of chance alone, not of where and how well the net
was used.

For a mean over the animals (family biotic index) and for the share of a part of them (percent of mayflies,
stoneflies and caddisflies) the range is about the whole community of the stretch, which is drawn outright,
with half an animal more of any kind (:func:`draw_mean`, :func:`draw_share`): what the catch does not hold may
still live there. An index that hangs on the number of animals (largest share, Simpson,
evenness) comes out lower or higher in a draw than in the catch, by as much as the catch differs from the
stretch: a second time the same lean. Its draws are moved back (:func:`moved_to`), and the range is about what
catches of this size from this stretch give on average. Where kinds that the net missed matter (Shannon,
streamside survey), ``unseen.py`` draws instead. How often such ranges hold the truth is measured by
``tests/benchmarks/doubt_coverage.py``.

Reference
---------
Efron, B. 1979. Bootstrap methods: another look at the jackknife. Annals of Statistics 7(1):1-26. The lean of
the draws as the estimate of the lean of the score: Efron, B. & Tibshirani, R.J. 1993. An Introduction to the
Bootstrap, chapter 10. A community drawn outright: Rubin, D.B. 1981. The Bayesian bootstrap. Annals of
Statistics 9(1):130-134; with half an animal more: Brown, L.D., Cai, T.T. & DasGupta, A. 2001. Interval
estimation for a binomial proportion. Statistical Science 16(2):101-133, the one after Jeffreys (all from
memory). The number of draws and the 90 % are our own choice.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from service.science.scores.banding import round_half_up, shares_of_bands
from service.science.scores.index import Definition

DRAWS = 1000
CENTRAL_SHARE = 0.90
_NO_WIDTH = (
    "the animals of this catch all count the same here, so it cannot show how far another catch would differ"
)


@dataclass(frozen=True, slots=True)
class Doubt:
    """The central range of a score and the chance of each band; empty where they cannot be known.

    ``reasons`` warns of a range without width, which is no certainty: the catch held nothing to differ by.
    """

    low: float | None = None
    high: float | None = None
    bands: Mapping[str, float] = field(default_factory=dict)
    reasons: tuple[str, ...] = ()


# All indices of one catch share its draws: this is the dear part of a score.
@lru_cache(maxsize=4)
def redraw(counts: tuple[int, ...], seed: int) -> NDArray[np.int64]:
    """Draw a catch again: one row a draw, one column a count, each row with as many animals as the catch.

    Parameters
    ----------
    counts : tuple of int
        Animals by line of the catch, together at least 1.
    seed : int
        Seed of the random numbers, 0 or more; the same seed gives the same draws.

    Returns
    -------
    array
        ``DRAWS`` rows of counts, not writable.
    """
    animals = sum(counts)
    shares = np.asarray(counts, dtype=np.float64) / animals
    draws = np.random.default_rng(seed).multinomial(animals, shares, size=DRAWS)
    draws.flags.writeable = False
    return draws


def draw_share(part: int, animals: int, seed: int) -> NDArray[np.float64]:
    """Draw the share that a part of the animals has in the stretch.

    Parameters
    ----------
    part : int
        Animals of that part in the catch, 0 to ``animals``.
    animals : int
        All animals of the catch, 1 or more.
    seed : int
        Seed of the random numbers, 0 or more; the same seed gives the same draws.

    Returns
    -------
    array
        ``DRAWS`` shares [0 to 1].

    Reference
    ---------
    Brown, Cai & DasGupta 2001, as in the heading of this module: beta distribution with half an animal more
    on either side.
    """
    return np.random.default_rng(seed).beta(part + 0.5, animals - part + 0.5, size=DRAWS)


def draw_mean(
    counts: Sequence[int], worths: Sequence[float], span: tuple[float, float], seed: int
) -> NDArray[np.float64]:
    """Draw the mean that a worth of the animals has in the stretch.

    Parameters
    ----------
    counts : sequence of int
        Animals by line of the catch, each 1 or more.
    worths : sequence of float
        Worth of an animal of each line.
    span : tuple of float
        Lowest and highest that a worth can be.
    seed : int
        Seed of the random numbers, 0 or more; the same seed gives the same draws.

    Returns
    -------
    array
        ``DRAWS`` means, in the unit of the worths.

    Reference
    ---------
    Rubin 1981, as in the heading of this module; the half animal more, of any worth, is our own choice after
    the one of Brown, Cai & DasGupta 2001.
    """
    dice = np.random.default_rng(seed)
    animals = dice.standard_gamma([*counts, 0.5], size=(DRAWS, len(counts) + 1))
    weighted = animals[:, :-1] @ np.asarray(worths, dtype=np.float64)
    weighted += animals[:, -1] * dice.uniform(*span, size=DRAWS)
    return np.asarray(weighted / animals.sum(axis=1))


def moved_to(
    score: float,
    values: NDArray[np.float64],
    *,
    width: float = 1.0,
    least: float = 0.0,
    most: float = np.inf,
) -> NDArray[np.float64]:
    """Return the scores of the draws, moved so that their mean is the score of the catch.

    Parameters
    ----------
    score : float
        Score of the catch, not rounded.
    values : array
        Score of each draw; one that is not a number stays so.
    width : float
        What part of their distance from the mean is kept.
    least, most : float
        Bounds of what the index can be; what would lie beyond is set on them.

    Returns
    -------
    array
        In the unit of the index.

    Reference
    ---------
    Efron & Tibshirani 1993, chapter 10, as in the heading of this module.
    """
    middle = values.mean()
    if np.isnan(middle):
        if np.isnan(values).all():
            return values
        middle = np.nanmean(values)
    moved = score + width * (values - middle)
    return np.asarray(np.minimum(np.maximum(moved, least), most))


def doubt_of(values: NDArray[np.float64], definition: Definition) -> Doubt:
    """Return the central range and the chances of the bands from the scores of the draws.

    Parameters
    ----------
    values : array
        Score of each draw; one that is not a number (a draw with nothing to score) is passed over.
    definition : Definition
        Gives the decimals and the bands.

    Returns
    -------
    Doubt
        Bounds rounded half up as the index is, chances [0 to 1]; empty when no draw could be scored.
    """
    ordered = np.sort(values)
    # Those that are no number come last.
    scored = ordered[: len(ordered) - np.count_nonzero(np.isnan(ordered))]
    if scored.size == 0:
        return Doubt()
    tail = (1.0 - CENTRAL_SHARE) / 2.0
    low, high = (
        float(round_half_up(Decimal(f"{_quantile(scored, share):.9f}"), definition.decimals))
        for share in (tail, 1.0 - tail)
    )
    reasons = () if low < high else (_NO_WIDTH,)
    return Doubt(low, high, shares_of_bands(scored, definition.bands, definition.decimals), reasons)


def _quantile(ordered: NDArray[np.float64], share: float) -> float:
    """Return the value below which a share of ordered ones lies, linear between two of them."""
    place = share * (len(ordered) - 1)
    before = int(place)
    below, above = ordered[before], ordered[min(before + 1, len(ordered) - 1)]
    return float(below + (above - below) * (place - before))
