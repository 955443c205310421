"""The pressure of the air at a site: from its elevation, or from a weather report.

Weather reports give the pressure reduced to sea level. Oxygen in water answers to the pressure at the place
itself, which is lower in the hills: mixing the two up costs about 12 % of saturation at 1000 m.
"""

from service.science.valid_range import require_within

HECTOPASCALS_PER_ATMOSPHERE = 1013.25


def pressure_from_elevation(elevation_m: float) -> float:
    """Return the usual air pressure at an elevation.

    Parameters
    ----------
    elevation_m : float
        Elevation above sea level [m], -500 to 11 000.

    Returns
    -------
    float
        Pressure [atm]. Weather moves the true value by about 3 % either way (common practice), so whatever
        is worked out from it must say that the pressure was assumed.

    Reference
    ---------
    U.S. Standard Atmosphere 1976 (the same as the ICAO standard atmosphere), troposphere: 288.15 K at sea
    level, 6.5 K less each kilometre.
    """
    require_within("elevation", elevation_m, -500.0, 11_000.0, "m")
    return float((1 - 0.0065 * elevation_m / 288.15) ** 5.255876)


def station_pressure_from_sea_level(sea_level_pressure_hpa: float, elevation_m: float) -> float:
    """Return the pressure at the place from the sea-level pressure of a weather report.

    Parameters
    ----------
    sea_level_pressure_hpa : float
        Pressure reduced to sea level [hPa], 850 to 1100 (weather has been seen from about 870 to 1085).
    elevation_m : float
        Elevation of the place above sea level [m], -500 to 11 000.

    Returns
    -------
    float
        Pressure at the place [hPa], taking the air to have the standard temperature.

    Reference
    ---------
    U.S. Standard Atmosphere 1976, ratio of the pressure at an elevation to that at sea level.
    """
    require_within("sea-level pressure", sea_level_pressure_hpa, 850.0, 1100.0, "hPa")
    return sea_level_pressure_hpa * pressure_from_elevation(elevation_m)


def atmospheres_from_hectopascals(pressure_hpa: float) -> float:
    """Return a pressure given in hPa (the unit of storage) as atm (the unit of the oxygen formulas)."""
    return pressure_hpa / HECTOPASCALS_PER_ATMOSPHERE
