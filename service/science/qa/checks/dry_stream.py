"""Was something read in a stream that was noted as dry? Where there is no water, there is no reading."""

from service.science.flags import Flag
from service.science.qa.check import Limits, ReadingCheck, Stage
from service.science.qa.wording import parameter_words, sentence, written_words
from service.science.types import Censoring, Evidence, Finding, Reading, Visit

DRY = "dry"
OF_THE_AIR = frozenset({"barometric_pressure"})
NONE_WHEN_DRY = frozenset({"water_depth", "current_velocity", "discharge"})


def run(reading: Reading, visit: Visit, limits: Limits) -> Finding | None:
    """Look whether a reading contradicts the noted flow.

    Parameters
    ----------
    reading : any reading; only its being there counts, not its number
    visit : gives the flow among its conditions
    limits : not used; a dry stream leaves no room for any

    Returns
    -------
    Finding or None
        4 for a reading in a dry stream, but for the pressure of the air and for a depth, a velocity or a
        discharge of 0, which say the same as dry; 2 where no flow was noted; else 1.
    """
    flow = visit.conditions.get("flow")
    if flow is None:
        return None
    evidence: Evidence = {"flow": str(flow), "value": reading.value}
    if flow != DRY or reading.parameter in OF_THE_AIR or _says_none(reading):
        return Finding(Flag.PASS, evidence=evidence)
    told = f"{parameter_words(reading.parameter)} {written_words(reading)}"
    return Finding(
        Flag.FAIL,
        f"{sentence(told)} was sent, but the stream was noted as dry: there was no water to read it in.",
        evidence,
        f"If there was water, be it a pool, change the flow to low and write down where you took it. If the "
        f"bed was dry, take {told} out of the visit: a dry stream is a good answer without it.",
    )


def _says_none(reading: Reading) -> bool:
    nothing = reading.value == 0 or reading.censored is Censoring.BELOW
    return reading.parameter in NONE_WHEN_DRY and nothing


CHECK = ReadingCheck(id="dry-stream", version=1, stage=Stage.CONTRADICTION, run=run)
