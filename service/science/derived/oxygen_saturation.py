"""Oxygen as a percentage of what the water could hold at the pressure of its place."""

import math

from service.science import oxygen_saturation
from service.science.derived.site_pressure import pressure_at
from service.science.derived.specific_conductance import conductance_beside
from service.science.derived.value import FRESH_WATER, Derived
from service.science.types import Reading, Visit


def oxygen_saturation_of(oxygen: Reading, visit: Visit) -> Derived | None:
    """Return the percent saturation of an oxygen reading at the site's own pressure.

    Parameters
    ----------
    oxygen
        Reading of dissolved oxygen [mg/L].
    visit
        Its visit, with the water temperature; conductance and barometric pressure if read.

    Returns
    -------
    Derived or None
        Percent of saturation [%]; ``None`` where the temperature is missing or censored, or an input lies
        outside the validity of the formula. Warm water holds less, so the lowest percentage belongs to the
        lowest oxygen in the coldest water of the intervals.

    Reference
    ---------
    Benson & Krause 1984, see ``oxygen_saturation.py``; pressure see ``barometric_pressure.py``.
    """
    temperature = visit.beside(oxygen, "water_temperature")
    if temperature is None or temperature.censored is not None:
        return None
    conductance_us_per_cm = conductance_beside(oxygen, visit)

    def percent(oxygen_mg_per_l: float, temperature_c: float) -> float:
        if math.isinf(oxygen_mg_per_l):
            return oxygen_mg_per_l
        return oxygen_saturation.percent_saturation(
            oxygen_mg_per_l, temperature_c, pressure_atm, conductance_us_per_cm or 0.0
        )

    try:
        pressure_atm, assumed = pressure_at(visit, visit.site)
        # The formula ends at freezing and at 40 degC; an interval that crosses an end stops there.
        coldest, warmest = max(temperature.low, 0.0), min(temperature.high, 40.0)
        value = percent(oxygen.value, temperature.value)
        low, high = percent(oxygen.low, coldest), percent(oxygen.high, warmest)
    except ValueError:
        return None
    return Derived(
        parameter="dissolved_oxygen_saturation",
        value=value,
        unit="%",
        low=low,
        high=high,
        censored=oxygen.censored,
        method=oxygen_saturation.METHOD,
        assumed=assumed if conductance_us_per_cm is not None else (*assumed, FRESH_WATER),
    )


def percent_of_saturation(visit: Visit) -> Derived | None:
    """Return the percent saturation of a visit's first oxygen, as :func:`oxygen_saturation_of` does."""
    oxygen = visit.first("dissolved_oxygen")
    return oxygen_saturation_of(oxygen, visit) if oxygen is not None else None
