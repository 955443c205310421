"""The pressure of the air at the site: as read, or from its elevation."""

from service.science.barometric_pressure import (
    HECTOPASCALS_PER_ATMOSPHERE,
    atmospheres_from_hectopascals,
    pressure_from_elevation,
)
from service.science.types import Site, Visit

ASSUMED_ELEVATION = "pressure from elevation"
ASSUMED_INSTEAD = "pressure from elevation, as the one read fits sea level and not this site"
ASSUMED_SEA_LEVEL = "pressure of sea level: the site's elevation is not known"


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


def pressure_at(visit: Visit, site: Site) -> tuple[float, tuple[str, ...]]:
    """Return the pressure at the site [atm] and what had to be assumed for it."""
    measured, elevation_m = visit.first("barometric_pressure"), site.elevation_m
    if measured is None or measured.censored is not None:
        if elevation_m is None:
            return 1.0, (ASSUMED_SEA_LEVEL,)
        return pressure_from_elevation(elevation_m), (ASSUMED_ELEVATION,)
    if elevation_m is not None and is_reduced_to_sea_level(measured.value, elevation_m):
        return pressure_from_elevation(elevation_m), (ASSUMED_INSTEAD,)
    return atmospheres_from_hectopascals(measured.value), ()
