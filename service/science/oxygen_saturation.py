"""How much oxygen water holds when it is in balance with the air, and the percent of saturation.

Percent is of the saturation at the pressure of the place, not at sea level. Every function takes one number
or an array of them.

Reference
---------
Benson, B.B. & Krause, D. 1984. The concentration and isotopic fractionation of oxygen dissolved in freshwater
and seawater in equilibrium with the atmosphere. Limnology and Oceanography 29(3):620-632. The form in use by
Standard Methods 4500-O and by the USGS (Office of Water Quality Technical Memorandum 2011.03).
"""

import math
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from service.science.valid_range import require_within

METHOD = "benson-krause-1984"
_KELVIN_AT_ZERO_C = 273.15

Numbers = TypeVar("Numbers", float, NDArray[np.float64])


def solubility_at_one_atmosphere(temperature_c: Numbers) -> Numbers:
    """Return the oxygen of fresh water in balance with moist air at 1 atm.

    Parameters
    ----------
    temperature_c : float
        Water temperature [degC], 0 to 40.

    Returns
    -------
    float
        Dissolved oxygen [mg/L].
    """
    _require_temperature(temperature_c)
    per_kelvin = 1 / (temperature_c + _KELVIN_AT_ZERO_C)
    cubic = 1.243800e10 - 8.621949e11 * per_kelvin
    return _exp(-139.34411 + per_kelvin * (1.575701e5 + per_kelvin * (-6.642308e7 + per_kelvin * cubic)))


def salinity_from_conductance(specific_conductance_us_per_cm: Numbers | float) -> Numbers | float:
    """Return the salinity that the oxygen formula takes for a specific conductance at 25 degC.

    Parameters
    ----------
    specific_conductance_us_per_cm : float
        Specific conductance [uS/cm at 25 degC], 0 or more, up to a salinity of 40 (about 58 500).

    Returns
    -------
    float
        Salinity [per mille]. Not the practical salinity scale, which is some 12 % lower in fresh water.
    """
    conductance = specific_conductance_us_per_cm
    require_within("specific conductance", conductance, 0.0, float("inf"), "uS/cm")
    salinity = conductance * (5.572e-4 + conductance * 2.02e-9)
    require_within("salinity", salinity, 0.0, 40.0, "per mille")
    return salinity


def salinity_factor(temperature_c: Numbers, specific_conductance_us_per_cm: Numbers | float) -> Numbers:
    """Return the factor by which dissolved salts lower the oxygen at saturation.

    Parameters
    ----------
    temperature_c : float
        Water temperature [degC], 0 to 40.
    specific_conductance_us_per_cm : float
        Specific conductance [uS/cm at 25 degC], 0 or more.

    Returns
    -------
    float
        Factor [1], 1 for water without salts.
    """
    _require_temperature(temperature_c)
    per_kelvin = 1 / (temperature_c + _KELVIN_AT_ZERO_C)
    salinity = salinity_from_conductance(specific_conductance_us_per_cm)
    return _exp(-salinity * (0.017674 + per_kelvin * (-10.754 + per_kelvin * 2140.7)))


def vapour_pressure(temperature_c: Numbers) -> Numbers:
    """Return the pressure of water vapour over fresh water at 0 to 40 degC [atm]."""
    _require_temperature(temperature_c)
    per_kelvin = 1 / (temperature_c + _KELVIN_AT_ZERO_C)
    return _exp(11.8571 + per_kelvin * (-3840.70 - per_kelvin * 216961))


def second_virial_term(temperature_c: Numbers) -> Numbers:
    """Return theta, how far oxygen strays from an ideal gas, at 0 to 40 degC [per atm]."""
    _require_temperature(temperature_c)
    return 0.000975 + temperature_c * (-1.426e-5 + temperature_c * 6.436e-8)


def pressure_factor(temperature_c: Numbers, pressure_atm: Numbers | float) -> Numbers:
    """Return the factor from saturation at 1 atm to saturation at the pressure of the place.

    Parameters
    ----------
    temperature_c : float
        Water temperature [degC], 0 to 40.
    pressure_atm : float
        Pressure of the air at the place itself, not reduced to sea level [atm], 0.5 to 1.1.

    Returns
    -------
    float
        Factor [1], 1 at 1 atm.

    Notes
    -----
    Pressure alone as the factor is 0.6 % too high at 2000 m: the vapour does not thin out with height.
    """
    require_within("air pressure", pressure_atm, 0.5, 1.1, "atm")
    vapour = vapour_pressure(temperature_c)
    theta = second_virial_term(temperature_c)
    return (pressure_atm - vapour) * (1 - theta * pressure_atm) / ((1 - vapour) * (1 - theta))


def oxygen_at_saturation(
    temperature_c: Numbers,
    pressure_atm: Numbers | float,
    specific_conductance_us_per_cm: Numbers | float = 0.0,
) -> Numbers:
    """Return the oxygen of water in balance with the air of the place.

    Parameters
    ----------
    temperature_c : float
        Water temperature [degC], 0 to 40.
    pressure_atm : float
        Pressure of the air at the place itself, not reduced to sea level [atm], 0.5 to 1.1.
    specific_conductance_us_per_cm : float
        Specific conductance [uS/cm at 25 degC], up to a salinity of 40. Below 500 it matters less than 0.2 %.

    Returns
    -------
    float
        Dissolved oxygen at saturation [mg/L].

    Reference
    ---------
    Benson & Krause 1984, as in the heading of this module.
    """
    return (
        solubility_at_one_atmosphere(temperature_c)
        * salinity_factor(temperature_c, specific_conductance_us_per_cm)
        * pressure_factor(temperature_c, pressure_atm)
    )


def percent_saturation(
    oxygen_mg_per_l: Numbers,
    temperature_c: Numbers,
    pressure_atm: Numbers | float,
    specific_conductance_us_per_cm: Numbers | float = 0.0,
) -> Numbers:
    """Return the oxygen found as a percentage of the oxygen at saturation at the same place.

    Parameters
    ----------
    oxygen_mg_per_l : float
        Dissolved oxygen [mg/L], 0 or more; infinite for the open end of a censored reading.
    temperature_c, pressure_atm, specific_conductance_us_per_cm
        As for :func:`oxygen_at_saturation`.

    Returns
    -------
    float
        Percent of saturation at the local pressure [%].
    """
    require_within("dissolved oxygen", oxygen_mg_per_l, 0.0, float("inf"), "mg/L")
    return (
        100.0
        * oxygen_mg_per_l
        / oxygen_at_saturation(temperature_c, pressure_atm, specific_conductance_us_per_cm)
    )


def _exp(exponent: Numbers) -> Numbers:
    # For one number the function of the standard library is ten times as quick.
    return math.exp(exponent) if isinstance(exponent, float) else np.exp(exponent)


def _require_temperature(temperature_c: float | NDArray[np.float64]) -> None:
    require_within("water temperature", temperature_c, 0.0, 40.0, "degC")
