"""Values that follow from a visit's readings by formula, with their interval and what was assumed."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from service.science import oxygen_saturation
from service.science.barometric_pressure import HECTOPASCALS_PER_ATMOSPHERE, pressure_from_elevation
from service.science.types import Censoring, Reading, Site, Visit
from service.science.units import convert

ASSUMED_ELEVATION = "pressure from elevation"
ASSUMED_INSTEAD = "pressure from elevation, as the one read fits sea level and not this site"
ASSUMED_SEA_LEVEL = "pressure of sea level: the site's elevation is not known"


@dataclass(frozen=True, slots=True)
class Derived:
    """One derived value. ``low`` and ``high`` carry the doubt of the readings behind it (infinite: open)."""

    parameter: str
    value: float
    unit: str
    low: float
    high: float
    censored: Censoring | None
    method: str
    assumed: tuple[str, ...] = ()


def is_reduced_to_sea_level(
    pressure_hpa: float,
    elevation_m: float,
    *,
    elevation_above_m: float = 350.0,
    near_sea_level_hpa: float = 40.0,
    above_place_hpa: float = 40.53,
) -> bool:
    """Return whether a pressure is that of a weather report, reduced to sea level, and not of the place.

    Parameters
    ----------
    pressure_hpa : the pressure [hPa]
    elevation_m : elevation of the place above sea level [m], -500 to 11 000
    elevation_above_m : up to this elevation the difference hides in the weather [m]
    near_sea_level_hpa : how near to the standard 1013.25 hPa of sea level it must be [hPa]
    above_place_hpa : how far above the usual pressure of the place it must be [hPa]; without this, fine
        weather at 400 m would pass for sea level

    Notes
    -----
    The defaults are the limits of the check pressure-kind, which judges by its rows in the reference data.
    """
    if elevation_m <= elevation_above_m:
        return False
    usual_hpa = pressure_from_elevation(elevation_m) * HECTOPASCALS_PER_ATMOSPHERE
    near_sea_level = abs(pressure_hpa - HECTOPASCALS_PER_ATMOSPHERE) < near_sea_level_hpa
    return near_sea_level and pressure_hpa - usual_hpa > above_place_hpa


def _pressure(visit: Visit, site: Site) -> tuple[float, tuple[str, ...]]:
    """Return the pressure at the site [atm] and what had to be assumed for it."""
    measured, elevation_m = visit.first("barometric_pressure"), site.elevation_m
    if measured is None or measured.censored is not None:
        if elevation_m is None:
            return 1.0, (ASSUMED_SEA_LEVEL,)
        return pressure_from_elevation(elevation_m), (ASSUMED_ELEVATION,)
    if elevation_m is not None and is_reduced_to_sea_level(measured.value, elevation_m):
        return pressure_from_elevation(elevation_m), (ASSUMED_INSTEAD,)
    return convert(measured.value, measured.unit, "atm"), ()


def oxygen_saturation_of(oxygen: Reading, visit: Visit) -> Derived | None:
    """Return the percent saturation of an oxygen reading at the site's own pressure.

    Parameters
    ----------
    oxygen
        Reading of dissolved oxygen [mg/L].
    visit
        Its visit, with the water temperature; specific conductance and barometric pressure if read.

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
    conductance = visit.beside(oxygen, "specific_conductance")
    known = conductance is not None and conductance.censored is None
    conductance_us_per_cm = conductance.value if known and conductance is not None else 0.0

    def percent(oxygen_mg_per_l: float, temperature_c: float) -> float:
        if math.isinf(oxygen_mg_per_l):
            return oxygen_mg_per_l
        return oxygen_saturation.percent_saturation(
            oxygen_mg_per_l, temperature_c, pressure_atm, conductance_us_per_cm
        )

    try:
        pressure_atm, assumed = _pressure(visit, visit.site)
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
        assumed=assumed if known else (*assumed, "fresh water"),
    )


def derive(visit: Visit) -> tuple[Derived, ...]:
    """Return every value that the visit's readings allow; readings that failed are not in ``visit``."""
    oxygen = visit.first("dissolved_oxygen")
    found: Iterable[Derived | None] = [oxygen_saturation_of(oxygen, visit) if oxygen is not None else None]
    return tuple(value for value in found if value is not None)
