"""How much water flows by: from floats on a measured length, or from verticals across the stream."""

from collections.abc import Sequence
from itertools import pairwise
from math import inf
from statistics import fmean

from service.science.gauging import Bottom, Transect, Vertical
from service.science.valid_range import require_within

FLOAT_METHOD, MID_SECTION_METHOD = "float", "mid-section"
BOTTOM_FACTOR = {Bottom.ROCKY: 0.8, Bottom.MUDDY: 0.9}
# Doubt of 95 % [percent of the discharge] by the number of verticals with water.
DOUBT_PERCENT = {5: 15.0, 10: 9.0, 15: 6.0, 20: 5.0, 25: 4.0, 30: 3.0, 35: 2.0}


def transect_area(transect: Transect) -> float:
    """Return the area of water across the stream, as four strips of equal width.

    Parameters
    ----------
    transect : Transect
        Width [m] above 0 and three depths [m], 0 or more; the depth is 0 at both banks.

    Returns
    -------
    float
        Area [m2].

    Reference
    ---------
    US EPA 1997. Volunteer Stream Monitoring: A Methods Manual, EPA 841-B-97-003, section 5.1.
    """
    _require_above_zero("width", transect.width_m, "m")
    depths = (0.0, *transect.depths_m, 0.0)
    if len(depths) != 5:
        raise ValueError(f"a transect has three depths between its banks, not {len(transect.depths_m)}")
    for depth_m in depths:
        require_within("depth", depth_m, 0.0, inf, "m")
    return sum((left + right) / 2 * transect.width_m / 4 for left, right in pairwise(depths))


def float_discharge(area_m2: float, length_m: float, times_s: Sequence[float], bottom: Bottom) -> float:
    """Return the discharge from floats.

    Parameters
    ----------
    area_m2 : float
        Mean area of water across the stream [m2], 0 or more.
    length_m : float
        Length that the floats travelled [m], above 0.
    times_s : sequence of float
        Time of each float [s], above 0. The mean of the times counts, not that of the speeds.
    bottom : Bottom
        Floats ride faster than the water below them: 0.8 of their speed counts over a rocky bed, 0.9 over a
        muddy one.

    Returns
    -------
    float
        Discharge [m3/s].

    Reference
    ---------
    US EPA 1997, as for :func:`transect_area`.
    """
    require_within("area", area_m2, 0.0, inf, "m2")
    _require_above_zero("length", length_m, "m")
    for time_s in times_s:
        _require_above_zero("time of a float", time_s, "s")
    return area_m2 * length_m * BOTTOM_FACTOR[bottom] / fmean(times_s)


def mid_section_flows(verticals: Sequence[Vertical]) -> tuple[float, ...]:
    """Return what flows past each vertical; the discharge is their sum.

    Parameters
    ----------
    verticals : sequence of Vertical
        Three or more, with rising distances [m] and depths [m] of 0 or more. A speed [m/s] below 0 is water
        that runs backwards.

    Returns
    -------
    tuple of float
        Flow of each [m3/s]: speed times depth times half the way to the neighbour on either side.

    Reference
    ---------
    Rantz, S.E. and others 1982. Measurement and Computation of Streamflow. USGS Water-Supply Paper 2175,
    mid-section method.
    """
    if len(verticals) < 3:
        raise ValueError(f"{len(verticals)} verticals are too few: three are the least")
    at = [vertical.distance_m for vertical in verticals]
    if any(right <= left for left, right in pairwise(at)):
        raise ValueError("the distances of the verticals must rise from one bank to the other")
    for vertical in verticals:
        require_within("depth", vertical.depth_m, 0.0, inf, "m")
    before, after = [at[0], *at[:-1]], [*at[1:], at[-1]]
    flows = tuple(
        vertical.velocity_m_per_s * vertical.depth_m * (right - left) / 2
        for vertical, left, right in zip(verticals, before, after, strict=True)
    )
    if sum(flows) < 0:
        raise ValueError("the water runs backwards on the whole: look at the signs of the speeds")
    return flows


def verticals_doubt(count: int) -> float:
    """Return the doubt of a discharge that its few verticals leave.

    Parameters
    ----------
    count : int
        Verticals with water, 5 or more.

    Returns
    -------
    float
        Half-width of the 95 % interval [percent of the discharge], of the next smaller number listed. Doubt
        of the depths and the speeds comes on top.

    Reference
    ---------
    ISO 748, Measurement of liquid flow in open channels: doubt from a limited number of verticals.
    """
    listed = [percent for verticals, percent in DOUBT_PERCENT.items() if verticals <= count]
    if not listed:
        raise ValueError(f"with {count} verticals nothing is known of the doubt: five are the least")
    return listed[-1]


def _require_above_zero(what: str, value: float, unit: str) -> None:
    if not value > 0:
        raise ValueError(f"{what} {value:g} {unit} is none: it must be above 0 {unit}")
