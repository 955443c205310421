"""The doubt of a score that comes from the size of the catch, by drawing the catch again and again.

Each draw takes as many animals as were caught, at random by the shares of the catch (multinomial). The middle
90 % of the scores of 1000 draws is what the same stretch could have given. It tells of chance alone, not of
where and how well the net was used, nor of kinds that no net brought up.

Reference
---------
Efron, B. 1979. Bootstrap methods: another look at the jackknife. Annals of Statistics 7(1):1-26 (from
memory). The number of draws and the 90 % are our own choice.
"""

from collections.abc import Mapping
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
    scored = values[~np.isnan(values)]
    if scored.size == 0:
        return Doubt()
    tail = (1.0 - CENTRAL_SHARE) / 2.0
    low, high = (
        float(round_half_up(Decimal(f"{bound:.9f}"), definition.decimals))
        for bound in np.quantile(scored, [tail, 1.0 - tail])
    )
    reasons = () if np.ptp(scored) > 0 else (_NO_WIDTH,)
    return Doubt(low, high, shares_of_bands(scored, definition.bands, definition.decimals), reasons)
