"""The mean of several pH. pH is a logarithm, so the plain mean of its numbers is no mean of the acid."""

from collections.abc import Iterable
from math import log10
from statistics import fmean

from service.science.valid_range import require_within

METHOD = "mean-hydrogen-ion"


def mean_ph(readings: Iterable[float]) -> float:
    """Return the pH of the mean hydrogen ion.

    Parameters
    ----------
    readings : iterable of float
        pH [std units], 0 to 14 each, one at least.

    Returns
    -------
    float
        pH [std units]; never above the plain mean, and near the most acid reading.

    Reference
    ---------
    From the definition, pH = -log10 of the hydrogen ion.
    """
    hydrogen = []
    for ph in readings:
        require_within("pH", ph, 0.0, 14.0, "std units")
        hydrogen.append(10**-ph)
    return -log10(fmean(hydrogen))
