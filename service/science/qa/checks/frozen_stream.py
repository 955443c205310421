"""Does the water temperature fit a stream that is covered with ice?"""

from service.science.flags import Flag
from service.science.qa.check import Limits, ReadingCheck, Stage
from service.science.qa.wording import number_words, written_words
from service.science.types import Evidence, Finding, Reading, Visit

ICE_COVER = "cover"


def run(reading: Reading, visit: Visit, limits: Limits) -> Finding | None:
    """Compare the water temperature with a noted cover of ice.

    Parameters
    ----------
    reading : water temperature [degC] with its bounds
    visit : gives the ice among its conditions
    limits : ``under_ice_high`` [degC], the warmest that water under ice gets

    Returns
    -------
    Finding or None
        3 when all that the thermometer leaves open is too warm for a cover of ice, else 1; ``None`` where no
        cover was noted, as ice at the edge says nothing. How cold water can be is for the check gross-range.
    """
    if visit.conditions.get("ice") != ICE_COVER:
        return None
    evidence: Evidence = {
        "water_c": reading.value,
        "ice": ICE_COVER,
        "under_ice_highest_c": limits["under_ice_high"],
    }
    if reading.low <= limits["under_ice_high"]:
        return Finding(Flag.PASS, evidence=evidence)
    water = written_words(reading)
    return Finding(
        Flag.SUSPECT,
        f"Water of {water} does not fit a stream covered with ice: under ice it is hardly ever warmer than "
        f"{number_words(limits['under_ice_high'])} °C.",
        evidence,
        "Stay off the ice. Look again: does ice cover the whole reach, or only its edge? Read the "
        f"thermometer again while it is in the water. If it shows {water} again, keep it and write down "
        "where it was read: a spring or a drain may keep that spot warm.",
    )


CHECK = ReadingCheck(
    id="frozen-stream",
    version=1,
    stage=Stage.CONSISTENCY,
    run=run,
    needs=("under_ice_high",),
    parameters=frozenset({"water_temperature"}),
)
