"""The part of the ammonia that is toxic to fish."""

from service.science import ammonia
from service.science.derived.value import FRESH_WATER, Derived, side
from service.science.types import Visit


def unionised_ammonia(visit: Visit) -> Derived | None:
    """Return the un-ionised ammonia of the visit's first ammonia.

    Parameters
    ----------
    visit : Visit
        With ``ammonia`` [mg/L as N], ``ph`` [std units] and ``water_temperature`` [degC].

    Returns
    -------
    Derived or None
        Un-ionised ammonia [mg/L as N]. It rises with all three, so the lowest value belongs to all lower ends
        and the highest to all upper ends. Where the interval of pH leaves 6 to 10, nothing and everything
        are the bounds.

    Raises
    ------
    ValueError
        pH lies outside 6 to 10, water outside 0 to 30 degC, or one reading is a lower and another one an
        upper limit.

    Reference
    ---------
    Emerson et al. 1975, see ``ammonia.py``.
    """
    total = visit.first("ammonia")
    if total is None:
        return None
    ph, temperature = visit.beside(total, "ph"), visit.beside(total, "water_temperature")
    if ph is None or temperature is None:
        return None
    # The formula ends at freezing and at 30 degC; an interval that crosses an end stops there.
    coldest = max(temperature.low, ammonia.COLDEST_C)
    warmest = min(temperature.high, ammonia.WARMEST_C)
    below, above = ph.low < ammonia.LOWEST_PH, ph.high > ammonia.HIGHEST_PH
    return Derived(
        parameter="unionised_ammonia",
        value=ammonia.unionised_ammonia(total.value, ph.value, temperature.value),
        unit="mg/L as N",
        low=0.0 if below else ammonia.unionised_ammonia(total.low, ph.low, coldest),
        high=total.high if above else ammonia.unionised_ammonia(total.high, ph.high, warmest),
        censored=side([total.censored, ph.censored, temperature.censored]),
        method=ammonia.METHOD,
        assumed=(FRESH_WATER,),
    )
