"""How much ammonia the life of the stream could bear month after month, at this pH and in this water."""

from service.science import ammonia
from service.science.derived.value import Derived, side
from service.science.types import Visit

METHOD = "us-epa-2013-chronic"
OF_A_MONTH = "a limit for the mean of 30 days: one reading above it says look again, and breaks nothing"


def ammonia_chronic_limit(visit: Visit) -> Derived | None:
    """Return the 30-day limit of ammonia beside the visit's first ammonia.

    Parameters
    ----------
    visit : Visit
        With ``ammonia``, ``ph`` [std units] and ``water_temperature`` [degC].

    Returns
    -------
    Derived or None
        Ammonia and ammonium together [mg/L as N]. It falls with both, so the lowest value belongs to the
        upper ends of pH and temperature.

    Raises
    ------
    ValueError
        pH lies outside 6.5 to 9, water outside 0 to 30 degC, or one is a lower and the other an upper limit.

    Reference
    ---------
    US EPA 2013, see ``ammonia.py``.
    """
    total = visit.first("ammonia")
    if total is None:
        return None
    ph, temperature = visit.beside(total, "ph"), visit.beside(total, "water_temperature")
    if ph is None or temperature is None:
        return None
    # An interval that crosses an end of the formula stops there.
    lowest_ph = max(ph.low, ammonia.CRITERION_LOWEST_PH)
    highest_ph = min(ph.high, ammonia.CRITERION_HIGHEST_PH)
    coldest, warmest = max(temperature.low, ammonia.COLDEST_C), min(temperature.high, ammonia.WARMEST_C)
    return Derived(
        parameter="ammonia_chronic_limit",
        value=ammonia.chronic_criterion(ph.value, temperature.value),
        unit="mg/L as N",
        low=ammonia.chronic_criterion(highest_ph, warmest),
        high=ammonia.chronic_criterion(lowest_ph, coldest),
        censored=side([], falling=[ph.censored, temperature.censored]),
        method=METHOD,
        assumed=(OF_A_MONTH,),
    )
