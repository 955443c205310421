"""Hardness of water from the calcium and the magnesium in it."""

from math import inf

from service.science.valid_range import require_within

METHOD = "calcium-and-magnesium"
# Molar masses, g/mol: CaCO3 100.086, calcium 40.078, magnesium 24.305 (IUPAC abridged 2021).
_CACO3_PER_CALCIUM = 100.086 / 40.078
_CACO3_PER_MAGNESIUM = 100.086 / 24.305


def hardness(calcium_mg_per_l: float, magnesium_mg_per_l: float) -> float:
    """Return the hardness that calcium and magnesium make.

    Parameters
    ----------
    calcium_mg_per_l, magnesium_mg_per_l : float
        As the elements [mg/L], 0 or more; infinite for the open end of a censored reading.

    Returns
    -------
    float
        Hardness [mg/L as CaCO3].

    Reference
    ---------
    Standard Methods for the Examination of Water and Wastewater, 2340 B: 2.497 Ca + 4.118 Mg.
    """
    require_within("calcium", calcium_mg_per_l, 0.0, inf, "mg/L")
    require_within("magnesium", magnesium_mg_per_l, 0.0, inf, "mg/L")
    return _CACO3_PER_CALCIUM * calcium_mg_per_l + _CACO3_PER_MAGNESIUM * magnesium_mg_per_l
