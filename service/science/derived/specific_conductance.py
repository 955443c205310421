"""Specific conductance at 25 degC from the conductivity that a plain meter shows."""

from service.science import conductance
from service.science.derived.value import Derived, side
from service.science.types import Reading, Visit

BY_THE_LINE = "1.91 % more for each degree"
OFF_THE_LINE = "a straight line below 10 or above 30 °C, where it is less sure"


def specific_conductance(visit: Visit) -> Derived | None:
    """Return the specific conductance of the visit's first conductivity, unless it was read itself.

    Parameters
    ----------
    visit : Visit
        With ``conductivity`` [uS/cm] at the temperature of the water, and ``water_temperature`` [degC].

    Returns
    -------
    Derived or None
        Specific conductance [uS/cm]. Warm water conducts better, so the lowest value belongs to the lowest
        conductivity in the warmest water of the intervals, the highest to the highest in the coldest.

    Raises
    ------
    ValueError
        A reading lies outside 0 to 40 degC, or one is a lower and the other an upper limit.

    Reference
    ---------
    Standard Methods 2510 B, see ``conductance.py``.
    """
    conductivity = visit.first("conductivity")
    if conductivity is None or visit.first("specific_conductance") is not None:
        return None
    return _of(conductivity, visit)


def conductance_beside(reading: Reading, visit: Visit) -> float | None:
    """Return the specific conductance read beside a reading, or worked out [uS/cm]; ``None``: not known."""
    measured = visit.beside(reading, "specific_conductance")
    if measured is not None:
        return measured.value if measured.censored is None else None
    conductivity = visit.beside(reading, "conductivity")
    try:
        found = _of(conductivity, visit) if conductivity is not None else None
    except ValueError:
        return None
    return found.value if found is not None and found.censored is None else None


def _of(conductivity: Reading, visit: Visit) -> Derived | None:
    temperature = visit.beside(conductivity, "water_temperature")
    if temperature is None:
        return None
    # The water is never below freezing, whatever a thermometer leaves open.
    coldest = max(temperature.low, conductance.COLDEST_C)
    warmest = min(temperature.high, conductance.WARMEST_C)
    on_the_line = conductance.LINEAR_FROM_C <= temperature.value <= conductance.LINEAR_TO_C
    return Derived(
        parameter="specific_conductance",
        value=conductance.specific_conductance(conductivity.value, temperature.value),
        unit="uS/cm",
        low=conductance.specific_conductance(conductivity.low, warmest),
        high=conductance.specific_conductance(conductivity.high, coldest),
        censored=side([conductivity.censored], falling=[temperature.censored]),
        method=conductance.METHOD,
        assumed=(BY_THE_LINE,) if on_the_line else (BY_THE_LINE, OFF_THE_LINE),
    )
