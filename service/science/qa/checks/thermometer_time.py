"""Was the thermometer in the water long enough to forget the air?

Half a minute is the least that school protocols ask for, a full minute what the USGS National Field Manual,
chapter A6.1, asks for.
"""

from service.science.flags import Flag
from service.science.qa.check import Limits, ReadingCheck, Stage
from service.science.qa.wording import number_words
from service.science.types import Finding, Reading, Visit

ADVICE_LONGER = (
    "Put it back, count a full minute, and read it while the bulb is still under water. Send the new number."
)
ADVICE_NOTE = "Next time count the seconds that the thermometer is in the water and write them down."


def run(reading: Reading, visit: Visit, limits: Limits) -> Finding:
    """Compare the seconds in the water with what a thermometer needs.

    Parameters
    ----------
    reading : water temperature by a thermometer; ``procedure["seconds_in_water"]`` [s]
    visit : not used; a single reading is enough
    limits : ``seconds_least``, ``seconds_good`` [s]

    Returns
    -------
    Finding
        3 under ``seconds_least``; 1 from there on, with a word of advice under ``seconds_good``; 2 when
        nobody noted the time or no thermometer was named.
    """
    if reading.kit is None or reading.kit.kind != "thermometer":
        return Finding(
            Flag.NOT_EVALUATED, "No thermometer was named, so its time in the water is not judged."
        )
    seconds = reading.procedure.get("seconds_in_water")
    good = number_words(limits["seconds_good"])
    if not isinstance(seconds, int | float):
        message = f"It was not noted how long the thermometer was in the water; {good} seconds are good."
        return Finding(Flag.NOT_EVALUATED, message, dict(limits), ADVICE_NOTE)
    evidence = {"seconds_in_water": seconds, **limits}
    told = f"The thermometer was in the water for {number_words(seconds)} s"
    if seconds < limits["seconds_least"]:
        least = number_words(limits["seconds_least"])
        message = f"{told}: too short. It needs {least} s at the very least, better {good} s."
        return Finding(Flag.SUSPECT, message, evidence, ADVICE_LONGER)
    if seconds < limits["seconds_good"]:
        return Finding(Flag.PASS, f"{told}: that will do, {good} s are better.", evidence)
    return Finding(Flag.PASS, evidence=evidence)


CHECK = ReadingCheck(
    id="thermometer-time",
    version=1,
    stage=Stage.CONSISTENCY,
    run=run,
    needs=("seconds_least", "seconds_good"),
    parameters=frozenset({"water_temperature"}),
)
