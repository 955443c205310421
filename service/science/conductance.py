"""How well water conducts, brought to 25 degC so that a cold and a warm day can be compared."""

from math import inf

from service.science.valid_range import require_within

METHOD = "linear-25-degc"
SHARE_PER_DEGREE = 0.0191
LINEAR_FROM_C, LINEAR_TO_C = 10.0, 30.0
COLDEST_C, WARMEST_C = 0.0, 40.0


def specific_conductance(
    conductivity_us_per_cm: float, temperature_c: float, share_per_degree: float = SHARE_PER_DEGREE
) -> float:
    """Return the specific conductance at 25 degC from a conductivity at the temperature of the water.

    Parameters
    ----------
    conductivity_us_per_cm : float
        As a meter shows it that does not compensate for temperature [uS/cm], 0 or more; infinite for the
        open end of a censored reading. What a meter has compensated already must not be put in.
    temperature_c : float
        Water temperature [degC], 0 to 40; the straight line is fair from 10 to 30 in dilute water.
    share_per_degree : float
        Gain of conductivity a degree, as a share of that at 25 degC [1/degC]; 0.0191 by the standard,
        0.02 in many meters.

    Returns
    -------
    float
        Specific conductance [uS/cm at 25 degC].

    Reference
    ---------
    Standard Methods for the Examination of Water and Wastewater, 2510 B.
    """
    require_within("conductivity", conductivity_us_per_cm, 0.0, inf, "uS/cm")
    require_within("water temperature", temperature_c, COLDEST_C, WARMEST_C, "degC")
    return conductivity_us_per_cm / (1 + share_per_degree * (temperature_c - 25))
