"""Is the water much warmer than the air, or was one number written into both boxes?

Water follows the air slowly and evens it out, so by day it is seldom far above it. After a frost that ends
warm days it truly can be: the answer asks, it rejects nothing.
"""

from service.science.flags import Flag
from service.science.kit_reading import is_same
from service.science.qa.check import Limits, ReadingCheck, Stage
from service.science.qa.wording import number_words, rounded_words, unit_words, written_words
from service.science.types import Evidence, Finding, Reading, Visit

ADVICE_MISSING = "Next time take the air temperature first, in the shade and with a dry thermometer."


def run(reading: Reading, visit: Visit, limits: Limits) -> Finding:
    """Compare the water temperature with the air temperature that the class noted.

    Parameters
    ----------
    reading : water temperature [degC] with its bounds
    visit : gives the air temperature among its conditions
    limits : ``water_above_air`` [degC], by how much water may be warmer than the air

    Returns
    -------
    Finding
        3 when all that the thermometer leaves open is too far above the air, 2 without an air temperature,
        else 1; with a question when both are the same number to a decimal.
    """
    air_c = visit.conditions.get("air_temperature_c")
    if not isinstance(air_c, int | float):
        message = "Not compared with the air: no air temperature was noted."
        return Finding(Flag.NOT_EVALUATED, message, advice=ADVICE_MISSING)
    evidence: Evidence = {
        "water_c": reading.value,
        "air_c": air_c,
        "water_above_air_c": round(reading.value - air_c, 2),
        "water_above_air_limit_c": limits["water_above_air"],
    }
    if reading.low - air_c > limits["water_above_air"]:
        return _too_warm(reading, air_c, evidence, limits)
    if reading.censored is None and is_same(reading.value, air_c) and air_c != round(air_c):
        return _copied(reading, air_c, evidence)
    return Finding(Flag.PASS, evidence=evidence)


def _too_warm(reading: Reading, air_c: float, evidence: Evidence, limits: Limits) -> Finding:
    water = written_words(reading)
    return Finding(
        Flag.SUSPECT,
        f"Water of {water} is {rounded_words(reading.value - air_c)} °C warmer than the air of "
        f"{number_words(air_c)} °C. More than {number_words(limits['water_above_air'])} °C is rare.",
        evidence,
        "Read both again: the water with the bulb under water, the air in the shade with a dry thermometer. "
        f"Did the two numbers change places? If the water is {water} again, keep it: when frost follows warm "
        "days it can be real.",
    )


def _copied(reading: Reading, air_c: float, evidence: Evidence) -> Finding:
    return Finding(
        Flag.PASS,
        f"Water of {written_words(reading)} is exactly as warm as the air of {number_words(air_c)}"
        f"{unit_words('degC')}. Copied?",
        evidence,
        f"If both were read, leave it. If {written_words(reading)} was read only once, read the other now or "
        "take it out.",
    )


CHECK = ReadingCheck(
    id="air-water",
    version=1,
    stage=Stage.CONSISTENCY,
    run=run,
    needs=("water_above_air",),
    parameters=frozenset({"water_temperature"}),
)
