"""Rounding a score and naming its band.

Bands are written with as many decimals as the index has and with gaps of one unit of the last decimal. So a
value is rounded first, half up, and then compared: 3.755 is 3.76. Decimal sums keep a value that is exactly
on a bound from slipping over it.
"""

from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Decimal

import numpy as np
from numpy.typing import NDArray

from service.science.scores.index import Band

# Larger than the noise of binary fractions in a sum of factors, far smaller than any real difference.
_NOISE = 1e-9


def round_half_up(value: Decimal, decimals: int) -> Decimal:
    """Return a value rounded half up to a number of decimals.

    Reference
    ---------
    The usual rounding of printed tables (common practice); Python's own ``round`` goes to the even digit and
    would rate 751 / 200 a class better.
    """
    return value.quantize(Decimal(1).scaleb(-decimals), rounding=ROUND_HALF_UP)


def band_of(value: Decimal, bands: Sequence[Band]) -> str | None:
    """Return the name of the band that holds an already rounded value, ``None`` when no band does."""
    return next((band.name for band in bands if _holds(band, value)), None)


def shares_of_bands(values: NDArray[np.float64], bands: Sequence[Band], decimals: int) -> dict[str, float]:
    """Return the share of many values in each band that any of them reaches, in the order of the bands.

    Parameters
    ----------
    values : array
        Values of the index, not rounded, at least one.
    bands : sequence of Band
        Bands of the index.
    decimals : int
        Decimals of the index.

    Returns
    -------
    dict
        Share [0 to 1] by name of the band; the shares sum to 1 when the bands leave no gap.
    """
    shares: dict[str, float] = {}
    if not bands:
        return shares
    units = np.floor(values * 10.0**decimals + 0.5 + _NOISE)
    for band in bands:
        low = -np.inf if band.lower is None else float(band.lower.scaleb(decimals))
        high = np.inf if band.upper is None else float(band.upper.scaleb(decimals))
        share = np.count_nonzero((units >= low) & (units <= high)) / len(units)
        if share > 0.0:
            shares[band.name] = share
    return shares


def _holds(band: Band, value: Decimal) -> bool:
    return (band.lower is None or band.lower <= value) and (band.upper is None or value <= band.upper)
