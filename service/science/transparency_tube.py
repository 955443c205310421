"""The transparency tube: an estimate between its depth and turbidity.

Store and compare the depth. Turbidity from a tube is an estimate: it must not join a series of instrument
readings, be held against a turbidity standard, or enter a score without its label.

Reference
---------
Myre, E. & Shaw, R. 2006. The Turbidity Tube: Simple and Accurate Measurement of Turbidity in the Field.
Michigan Technological University: depth [cm] = 244.13 x turbidity [NTU] ^ -0.662. The spread of a factor of
2 is our own reading of how far published relations lie apart.
"""

from dataclasses import dataclass
from math import inf

from service.science.types import Censoring
from service.science.valid_range import require_within

LABEL = "estimate from the tube, within about a factor of 2 (Myre & Shaw 2006)"
METHOD = "myre-shaw-2006"
LOWEST_NTU, HIGHEST_NTU = 5.0, 240.0
LONGEST_TUBE_CM = 120.0
FACTOR_OF_DOUBT = 2.0
_COEFFICIENT, _EXPONENT = 244.13, -0.662


@dataclass(frozen=True, slots=True)
class Estimate:
    """An estimated value [``unit``] with the bounds of its doubt and the label that must travel with it."""

    value: float
    unit: str
    low: float
    high: float
    censored: Censoring | None = None
    label: str = LABEL


def turbidity_estimate(
    depth_cm: float,
    censored: Censoring | None = None,
    *,
    low_cm: float | None = None,
    high_cm: float | None = None,
) -> Estimate:
    """Return the turbidity that a depth in the tube suggests.

    Parameters
    ----------
    depth_cm : float
        Depth at which the target vanished [cm], about 6.5 to 84: where the turbidity is 5 to 240 NTU. A full
        tube may be up to 120 cm long, as "less than" leans on the relation less than a number does.
    censored : Censoring, optional
        ``>`` when the target was still seen in the full tube: the turbidity is then below the estimate.
    low_cm, high_cm : float, optional
        Bounds of the depth [cm], 0 to infinite; without them the depth itself, open where it is censored.

    Returns
    -------
    Estimate
        Turbidity [NTU], from half of that of the greatest depth to twice that of the smallest.
    """
    if not depth_cm > 0:
        raise ValueError(f"a tube depth of {depth_cm:g} cm is no reading: the depth must be above 0 cm")
    turbidity = _turbidity(depth_cm)
    if censored is Censoring.ABOVE:
        require_within("depth of a full tube", depth_cm, 0.0, LONGEST_TUBE_CM, "cm")
    else:
        require_within("turbidity", turbidity, LOWEST_NTU, HIGHEST_NTU, "NTU")
    shallow, deep = _bounds(depth_cm, censored, low_cm, high_cm)
    return Estimate(
        turbidity,
        "NTU",
        _turbidity(deep) / FACTOR_OF_DOUBT,
        _turbidity(shallow) * FACTOR_OF_DOUBT,
        censored.opposite if censored else None,
    )


def depth_estimate(
    turbidity_ntu: float,
    censored: Censoring | None = None,
    *,
    low_ntu: float | None = None,
    high_ntu: float | None = None,
) -> Estimate:
    """Return the tube depth that a turbidity suggests.

    Parameters
    ----------
    turbidity_ntu : float
        Turbidity [NTU], 5 to 240.
    censored : Censoring, optional
        ``<`` when the turbidity is below the number: the depth is then above the estimate.
    low_ntu, high_ntu : float, optional
        Bounds of the turbidity [NTU], 0 to infinite; without them the turbidity itself, open where it is
        censored.

    Returns
    -------
    Estimate
        Depth [cm], from that of twice the highest turbidity to that of half the lowest.
    """
    require_within("turbidity", turbidity_ntu, LOWEST_NTU, HIGHEST_NTU, "NTU")
    clear, murky = _bounds(turbidity_ntu, censored, low_ntu, high_ntu)
    return Estimate(
        _depth(turbidity_ntu),
        "cm",
        _depth(murky * FACTOR_OF_DOUBT),
        _depth(clear / FACTOR_OF_DOUBT),
        censored.opposite if censored else None,
    )


def _turbidity(depth_cm: float) -> float:
    return inf if depth_cm == 0 else float((depth_cm / _COEFFICIENT) ** (1 / _EXPONENT))


def _depth(turbidity_ntu: float) -> float:
    return inf if turbidity_ntu == 0 else float(_COEFFICIENT * turbidity_ntu**_EXPONENT)


def _bounds(
    value: float, censored: Censoring | None, low: float | None, high: float | None
) -> tuple[float, float]:
    lowest = low if low is not None else 0.0 if censored is Censoring.BELOW else value
    highest = high if high is not None else inf if censored is Censoring.ABOVE else value
    return lowest, highest
