"""Rain and high water muddy a stream by themselves: what they can explain needs no slip."""

from service.science.flags import Flag
from service.science.qa.checks.site_outlier import MOVED_BY_RAIN
from service.science.qa.engine import ReadingAssessment
from service.science.types import Reading, Visit

MOVED = MOVED_BY_RAIN | {"nitrate", "phosphate"}
FALLS = frozenset({"transparency"})
DRY_WEATHER_BELOW_MM = 2.5  # a tenth of an inch, common practice for sampling in dry weather
HIGH_WATER = frozenset({"high", "flood"})


def may_explain(reading: Reading, meant: Reading, assessed: ReadingAssessment, visit: Visit) -> bool:
    """Return whether rain or high water may have moved a reading away from what is proposed for it.

    Not if they move it the other way, if the number cannot be true at all, if the neighbours of the week did
    not move like that, or if the class noted dry weather.
    """
    moved_up = reading.value > meant.value
    if reading.parameter not in MOVED or moved_up == (reading.parameter in FALLS):
        return False
    compared_with_neighbours = any(
        result.finding.flag is Flag.SUSPECT and result.finding.evidence.get("z_residual") is not None
        for result in assessed.results
    )
    rain_mm = visit.conditions.get("rain_48h_mm")
    no_rain = isinstance(rain_mm, int | float) and rain_mm < DRY_WEATHER_BELOW_MM
    was_dry = no_rain and visit.conditions.get("flow") not in HIGH_WATER
    return not (assessed.flag is Flag.FAIL or compared_with_neighbours or was_dry)
