"""An estimate of turbidity from the tube, or of the tube from turbidity, where only one of them was read.

The parameters have names of their own, so that no estimate joins a series of readings.
"""

from service.science.derived.value import Derived
from service.science.transparency_tube import METHOD, Estimate, depth_estimate, turbidity_estimate
from service.science.types import Visit


def turbidity_from_tube(visit: Visit) -> Derived | None:
    """Return the turbidity that the visit's first depth in the tube suggests, unless it was read itself.

    Parameters
    ----------
    visit : Visit
        With ``transparency`` [cm].

    Returns
    -------
    Derived or None
        Turbidity [NTU]. Clear water is the deeper one: the upper end of the depth gives the lower end here.

    Raises
    ------
    ValueError
        The depth lies where the relation gives no value.

    Reference
    ---------
    Myre & Shaw 2006, see ``transparency_tube.py``.
    """
    tube = visit.first("transparency")
    if tube is None or visit.first("turbidity") is not None:
        return None
    return _derived(
        "turbidity_estimate",
        turbidity_estimate(tube.value, tube.censored, low_cm=tube.low, high_cm=tube.high),
    )


def tube_from_turbidity(visit: Visit) -> Derived | None:
    """Return the depth in the tube that the visit's first turbidity suggests, unless it was read itself.

    Parameters
    ----------
    visit : Visit
        With ``turbidity`` [NTU].

    Returns
    -------
    Derived or None
        Depth [cm]; the upper end of the turbidity gives the lower end here.

    Raises
    ------
    ValueError
        The turbidity lies where the relation gives no value.

    Reference
    ---------
    Myre & Shaw 2006, see ``transparency_tube.py``.
    """
    turbidity = visit.first("turbidity")
    if turbidity is None or visit.first("transparency") is not None:
        return None
    return _derived(
        "transparency_estimate",
        depth_estimate(turbidity.value, turbidity.censored, low_ntu=turbidity.low, high_ntu=turbidity.high),
    )


def _derived(parameter: str, found: Estimate) -> Derived:
    return Derived(
        parameter, found.value, found.unit, found.low, found.high, found.censored, METHOD, (found.label,)
    )
