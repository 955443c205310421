"""The transparency tube: an estimate between its depth and turbidity, and comparing tubes of unlike length.

Store and compare the depth. Turbidity from a tube is an estimate: it must not join a series of instrument
readings, be held against a turbidity standard, or enter a score without its label.

Reference
---------
Myre, E. & Shaw, R. 2006. The Turbidity Tube: Simple and Accurate Measurement of Turbidity in the Field.
Michigan Technological University: depth [cm] = 244.13 x turbidity [NTU] ^ -0.662. The spread of a factor of
2 is our own reading of how far published relations lie apart.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import inf

from service.science.types import Censoring
from service.science.valid_range import require_within

LABEL = "estimate from the tube, within about a factor of 2 (Myre & Shaw 2006)"
LOWEST_NTU, HIGHEST_NTU = 5.0, 240.0
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


@dataclass(frozen=True, slots=True)
class TubeDepth:
    """One reading: depth [cm], length of the tube [cm], and ``>`` when the target was still seen."""

    depth_cm: float
    length_cm: float
    censored: Censoring | None = None


def turbidity_estimate(depth_cm: float, censored: Censoring | None = None) -> Estimate:
    """Return the turbidity that a depth in the tube suggests.

    Parameters
    ----------
    depth_cm : float
        Depth at which the target vanished [cm], about 6.5 to 84: where the turbidity is 5 to 240 NTU.
    censored : Censoring, optional
        ``>`` when the target was still seen in the full tube: the turbidity is then below the estimate.

    Returns
    -------
    Estimate
        Turbidity [NTU], a half to twice the value, open where the reading is.
    """
    if not depth_cm > 0:
        raise ValueError(f"a tube depth of {depth_cm:g} cm is no reading: the depth must be above 0 cm")
    turbidity = float((depth_cm / _COEFFICIENT) ** (1 / _EXPONENT))
    require_within("turbidity", turbidity, LOWEST_NTU, HIGHEST_NTU, "NTU")
    if censored is Censoring.ABOVE:
        return Estimate(turbidity, "NTU", 0.0, turbidity * FACTOR_OF_DOUBT, Censoring.BELOW)
    if censored is Censoring.BELOW:
        return Estimate(turbidity, "NTU", turbidity / FACTOR_OF_DOUBT, inf, Censoring.ABOVE)
    return Estimate(turbidity, "NTU", turbidity / FACTOR_OF_DOUBT, turbidity * FACTOR_OF_DOUBT)


def depth_estimate(turbidity_ntu: float) -> Estimate:
    """Return the tube depth that a turbidity suggests.

    Parameters
    ----------
    turbidity_ntu : float
        Turbidity [NTU], 5 to 240.

    Returns
    -------
    Estimate
        Depth [cm], with the bounds for half and for twice the turbidity.
    """
    require_within("turbidity", turbidity_ntu, LOWEST_NTU, HIGHEST_NTU, "NTU")
    at, at_half, at_twice = (
        float(_COEFFICIENT * ntu**_EXPONENT)
        for ntu in (turbidity_ntu, turbidity_ntu / FACTOR_OF_DOUBT, turbidity_ntu * FACTOR_OF_DOUBT)
    )
    return Estimate(at, "cm", at_twice, at_half)


def cut_at_shortest(depths: Iterable[TubeDepth]) -> tuple[TubeDepth, ...]:
    """Return readings of several tubes as the shortest of the tubes would have given them.

    A depth at or beyond the shortest length becomes ``>`` that length: a full tube that nobody marked counts
    as full. Without this a change of tube looks like a change of the stream.

    Parameters
    ----------
    depths : iterable of TubeDepth
        Readings [cm] with the length of their tube [cm].

    Returns
    -------
    tuple of TubeDepth
        The readings in the same order, all with the shortest length.

    Raises
    ------
    ValueError
        For ``<`` a depth beyond the shortest tube: the shortest tube could have shown anything then.
    """
    readings = tuple(depths)
    shortest_cm = min((reading.length_cm for reading in readings), default=inf)
    return tuple(_cut(reading, shortest_cm) for reading in readings)


def _cut(reading: TubeDepth, shortest_cm: float) -> TubeDepth:
    if reading.censored is Censoring.BELOW and reading.depth_cm > shortest_cm:
        raise ValueError(f"< {reading.depth_cm:g} cm cannot be compared with a tube of {shortest_cm:g} cm")
    if reading.censored is not Censoring.BELOW and reading.depth_cm >= shortest_cm:
        return TubeDepth(shortest_cm, shortest_cm, Censoring.ABOVE)
    return replace(reading, length_cm=shortest_cm)
