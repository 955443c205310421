"""The discharge of a gauging, with what its floats or verticals leave open."""

from math import inf
from statistics import fmean

from service.science import discharge
from service.science.derived.value import Derived
from service.science.gauging import FloatGauging, VerticalGauging
from service.science.qa.wording import number_words, rounded_words
from service.science.types import Visit

SHARE_WANTED_PERCENT = 10.0


def measured_discharge(visit: Visit) -> Derived | None:
    """Return the discharge of the visit's gauging, unless it was given as a reading.

    Parameters
    ----------
    visit : Visit
        With a ``gauging`` by floats or by verticals.

    Returns
    -------
    Derived or None
        Discharge [m3/s].

    Raises
    ------
    ValueError
        The gauging is none, or its water runs backwards on the whole.

    Reference
    ---------
    US EPA 1997 (floats), USGS Water-Supply Paper 2175 (mid-section), see ``discharge.py``.
    """
    if visit.gauging is None or visit.first("discharge") is not None:
        return None
    if isinstance(visit.gauging, FloatGauging):
        return _by_floats(visit.gauging)
    return _by_verticals(visit.gauging)


def _by_floats(gauging: FloatGauging) -> Derived:
    """Return the discharge; the smaller area with the slowest float is the lower end, and so on."""
    areas = [discharge.transect_area(transect) for transect in gauging.transects]

    def at(area_m2: float, times_s: tuple[float, ...]) -> float:
        return discharge.float_discharge(area_m2, gauging.length_m, times_s, gauging.bottom)

    factor = number_words(discharge.BOTTOM_FACTOR[gauging.bottom])
    assumed = [f"{factor} of the speed of the floats, for a {gauging.bottom} bed"]
    if len(areas) == 1:
        assumed.append("one transect for the whole length")
    return Derived(
        parameter="discharge",
        value=at(fmean(areas), gauging.times_s),
        unit="m3/s",
        low=at(min(areas), (max(gauging.times_s),)),
        high=at(max(areas), (min(gauging.times_s),)),
        censored=None,
        method=discharge.FLOAT_METHOD,
        assumed=tuple(assumed),
    )


def _by_verticals(gauging: VerticalGauging) -> Derived:
    """Return the discharge with the doubt that few verticals leave; open where they are too few to tell."""
    flows = discharge.mid_section_flows(gauging.verticals)
    total = sum(flows)
    wet = sum(vertical.depth_m > 0 for vertical in gauging.verticals)
    try:
        half_width = total * discharge.verticals_doubt(wet) / 100
        low, high = total - half_width, total + half_width
        assumed = [f"doubt of {wet} verticals alone; that of depths and speeds comes on top"]
    except ValueError:
        low, high = 0.0, inf
        assumed = [f"{wet} verticals with water are too few to tell the doubt; five are the least"]
    largest_percent = round(100 * max(flows) / total, 6) if total > 0 else 0.0
    if largest_percent > SHARE_WANTED_PERCENT:
        assumed.append(
            f"one vertical carries {rounded_words(largest_percent, 2)} % of the flow; "
            f"{number_words(SHARE_WANTED_PERCENT)} % at most is wanted"
        )
    return Derived("discharge", total, "m3/s", low, high, None, discharge.MID_SECTION_METHOD, tuple(assumed))
