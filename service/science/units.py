"""From one unit of a parameter to another.

Units belong to families. Two units convert only inside a family that holds both, so nitrate as NO3 never
becomes nitrite as NO2 by way of nitrogen.

Reference
---------
Atomic weights: IUPAC abridged standard atomic weights 2021 (N 14.007, O 15.999, H 1.008, P 30.973762).
Length, pressure: exact by definition (inch 25.4 mm, foot 0.3048 m, standard atmosphere 1013.25 hPa,
millimetre of mercury as 1/760 of it). Hardness: equivalent weight of CaCO3 50.043 mg/meq; the grain
(64.79891 mg) in a US gallon (3.785411784 L); the German degree, 10 mg/L CaO.
"""

from dataclasses import dataclass

_NITROGEN, _OXYGEN, _HYDROGEN, _PHOSPHORUS = 14.007, 15.999, 1.008, 30.973762
_CACO3_MG_PER_MEQ = 50.043
_CACO3_MG_PER_L_PER_GERMAN_DEGREE = 17.84796
_CACO3_MG_PER_L_PER_GRAIN = 64.79891 / 3.785411784


@dataclass(frozen=True, slots=True)
class Scale:
    """A unit within its family: ``per_base`` of it make one base unit; ``zero`` is where the base reads 0."""

    per_base: float
    zero: float = 0.0


BASE = Scale(1.0)

FAMILIES: tuple[dict[str, Scale], ...] = (
    {"degC": BASE, "degF": Scale(1.8, 32.0)},
    {"m": BASE, "cm": Scale(100.0), "in": Scale(100.0 / 2.54)},
    {"uS/cm": BASE, "mS/cm": Scale(0.001)},
    {"mg/L as N": BASE, "mg/L as NO3": Scale((_NITROGEN + 3 * _OXYGEN) / _NITROGEN)},
    {"mg/L as N": BASE, "mg/L as NO2": Scale((_NITROGEN + 2 * _OXYGEN) / _NITROGEN)},
    {
        "mg/L as N": BASE,
        "mg/L as NH3": Scale((_NITROGEN + 3 * _HYDROGEN) / _NITROGEN),
        "mg/L as NH4": Scale((_NITROGEN + 4 * _HYDROGEN) / _NITROGEN),
    },
    {"mg/L as P": BASE, "mg/L as PO4": Scale((_PHOSPHORUS + 4 * _OXYGEN) / _PHOSPHORUS)},
    {
        "mg/L as CaCO3": BASE,
        "meq/L": Scale(1 / _CACO3_MG_PER_MEQ),
        "dKH": Scale(1 / _CACO3_MG_PER_L_PER_GERMAN_DEGREE),
        "gpg": Scale(1 / _CACO3_MG_PER_L_PER_GRAIN),
    },
    {
        "mg/L as CaCO3": BASE,
        "meq/L": Scale(1 / _CACO3_MG_PER_MEQ),
        "dGH": Scale(1 / _CACO3_MG_PER_L_PER_GERMAN_DEGREE),
        "gpg": Scale(1 / _CACO3_MG_PER_L_PER_GRAIN),
    },
    # Both estimate the same number of living cells; practice compares them without a factor.
    {"MPN/100 mL": BASE, "CFU/100 mL": Scale(1.0)},
    {"m/s": BASE, "ft/s": Scale(1 / 0.3048)},
    {"m3/s": BASE, "ft3/s": Scale(1 / 0.028316846592), "L/s": Scale(1000.0)},
    {
        "atm": BASE,
        "hPa": Scale(1013.25),
        "kPa": Scale(101.325),
        "mmHg": Scale(760.0),
        "inHg": Scale(760.0 / 25.4),
    },
)


def convert(value: float, from_unit: str, to_unit: str) -> float:
    """Return a value in another unit of the same parameter.

    Parameters
    ----------
    value : float
        The value [from_unit]; may be infinite, as the open end of a censored reading is.
    from_unit, to_unit : str
        Units as the parameters name them. Equal units give the value back.

    Returns
    -------
    float
        The value [to_unit], to 12 significant digits: 0.29 m is 29 cm, not 28.999999999999996.

    Raises
    ------
    ValueError
        When no family holds both units.
    """
    if from_unit == to_unit:
        return value
    source, target = _scales(from_unit, to_unit)
    return _tidy((value - source.zero) * target.per_base / source.per_base + target.zero)


def convert_difference(difference: float, from_unit: str, to_unit: str) -> float:
    """Return a difference (a kit's step, an accuracy) in another unit: the factor alone, never the zero.

    Parameters
    ----------
    difference : float
        The difference [from_unit].
    from_unit, to_unit : str
        As for :func:`convert`.

    Returns
    -------
    float
        The difference [to_unit]: 1.8 degF apart is 1 degC apart.

    Raises
    ------
    ValueError
        When no family holds both units.
    """
    if from_unit == to_unit:
        return difference
    source, target = _scales(from_unit, to_unit)
    return _tidy(difference * target.per_base / source.per_base)


def _scales(from_unit: str, to_unit: str) -> tuple[Scale, Scale]:
    for family in FAMILIES:
        if from_unit in family and to_unit in family:
            return family[from_unit], family[to_unit]
    raise ValueError(f"{from_unit} cannot be converted to {to_unit}")


def _tidy(value: float) -> float:
    return float(f"{value:.12g}")
