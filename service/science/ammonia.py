"""Ammonia: the share that is toxic to fish, and how much of all ammonia water life can bear.

Tests and kits find ammonia (NH3) and ammonium (NH4+) together. Only the former, the un-ionised share, passes
into gills; it grows with pH and with warmth.
"""

from math import inf

from service.science.valid_range import require_within

METHOD = "emerson-1975"
LOWEST_PH, HIGHEST_PH = 6.0, 10.0
CRITERION_LOWEST_PH, CRITERION_HIGHEST_PH = 6.5, 9.0
COLDEST_C, WARMEST_C = 0.0, 30.0
_KELVIN_AT_ZERO_C = 273.15


def unionised_fraction(ph: float, temperature_c: float) -> float:
    """Return the share of all ammonia that is un-ionised in fresh water.

    Parameters
    ----------
    ph : float
        pH [std units], 6 to 10.
    temperature_c : float
        Water temperature [degC], 0 to 30.

    Returns
    -------
    float
        Share [1], 0 to 1; rises with both.

    Reference
    ---------
    Emerson, K., Russo, R.C., Lund, R.E. & Thurston, R.V. 1975. Aqueous ammonia equilibrium calculations:
    effect of pH and temperature. Journal of the Fisheries Research Board of Canada 32:2379-2383.
    """
    require_within("pH", ph, LOWEST_PH, HIGHEST_PH, "std units")
    require_within("water temperature", temperature_c, COLDEST_C, WARMEST_C, "degC")
    ionisation_constant = 0.0901821 + 2729.92 / (temperature_c + _KELVIN_AT_ZERO_C)
    return float(1 / (1 + 10 ** (ionisation_constant - ph)))


def unionised_ammonia(ammonia_mg_per_l_as_n: float, ph: float, temperature_c: float) -> float:
    """Return the un-ionised ammonia of fresh water.

    Parameters
    ----------
    ammonia_mg_per_l_as_n : float
        Ammonia and ammonium together [mg/L as N], 0 or more; infinite for the open end of a censored reading.
    ph, temperature_c
        As for :func:`unionised_fraction`.

    Returns
    -------
    float
        Un-ionised ammonia [mg/L as N].
    """
    require_within("ammonia", ammonia_mg_per_l_as_n, 0.0, inf, "mg/L as N")
    return ammonia_mg_per_l_as_n * unionised_fraction(ph, temperature_c)


def chronic_criterion(ph: float, temperature_c: float) -> float:
    """Return the 30-day mean of all ammonia that fresh water life can bear, mussels included.

    Parameters
    ----------
    ph : float
        pH [std units], 6.5 to 9.
    temperature_c : float
        Water temperature [degC], 0 to 30.

    Returns
    -------
    float
        Ammonia and ammonium together [mg/L as N]. A mean over 30 days, not to be exceeded more than once in
        three years; a single reading can lie above it without breaking it.

    Reference
    ---------
    US EPA 2013. Aquatic Life Ambient Water Quality Criteria for Ammonia - Freshwater, EPA 822-R-13-001.
    """
    _require_criterion_range(ph, temperature_c)
    of_ph = 0.0278 / (1 + 10 ** (7.688 - ph)) + 1.1994 / (1 + 10 ** (ph - 7.688))
    return float(0.8876 * of_ph * 2.126 * 10 ** (0.028 * (20 - max(temperature_c, 7.0))))


def acute_criterion(ph: float, temperature_c: float, *, salmonids: bool) -> float:
    """Return the 1-hour mean of all ammonia that fresh water life can bear.

    Parameters
    ----------
    ph, temperature_c
        As for :func:`chronic_criterion`.
    salmonids : bool
        Whether trout or salmon live in the stream.

    Returns
    -------
    float
        Ammonia and ammonium together [mg/L as N], not to be exceeded more than once in three years.

    Reference
    ---------
    US EPA 2013, as for :func:`chronic_criterion`.
    """
    _require_criterion_range(ph, temperature_c)
    of_ph = 0.0114 / (1 + 10 ** (7.204 - ph)) + 1.6181 / (1 + 10 ** (ph - 7.204))
    of_warmth = 23.12 * 10 ** (0.036 * (20 - temperature_c))
    if not salmonids:
        return float(0.7249 * of_ph * min(51.93, of_warmth))
    of_trout = 0.275 / (1 + 10 ** (7.204 - ph)) + 39.0 / (1 + 10 ** (ph - 7.204))
    return float(min(of_trout, 0.7249 * of_ph * of_warmth))


def _require_criterion_range(ph: float, temperature_c: float) -> None:
    require_within("pH", ph, CRITERION_LOWEST_PH, CRITERION_HIGHEST_PH, "std units")
    require_within("water temperature", temperature_c, COLDEST_C, WARMEST_C, "degC")
