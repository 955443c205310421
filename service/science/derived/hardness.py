"""Total hardness from calcium and magnesium that were read each for itself."""

from service.science import hardness
from service.science.derived.value import Derived, side
from service.science.types import Visit


def total_hardness(visit: Visit) -> Derived | None:
    """Return the hardness of the visit's first calcium, unless hardness was read itself.

    Parameters
    ----------
    visit : Visit
        With ``calcium`` and ``magnesium`` [mg/L].

    Returns
    -------
    Derived or None
        Hardness [mg/L as CaCO3]; rises with both, so lower ends belong together and upper ends too.

    Raises
    ------
    ValueError
        One reading is a lower and the other an upper limit.

    Reference
    ---------
    Standard Methods 2340 B, see ``hardness.py``.
    """
    calcium = visit.first("calcium")
    if calcium is None or visit.first("hardness") is not None:
        return None
    magnesium = visit.beside(calcium, "magnesium")
    if magnesium is None:
        return None
    return Derived(
        parameter="hardness",
        value=hardness.hardness(calcium.value, magnesium.value),
        unit="mg/L as CaCO3",
        low=hardness.hardness(calcium.low, magnesium.low),
        high=hardness.hardness(calcium.high, magnesium.high),
        censored=side([calcium.censored, magnesium.censored]),
        method=hardness.METHOD,
    )
