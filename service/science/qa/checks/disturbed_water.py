"""Was the water taken where nothing was stirred up? Mud from the bottom is not what the stream carries."""

from service.science.flags import Flag
from service.science.qa.check import Limits, ReadingCheck, Stage
from service.science.types import Finding, Reading, Visit

ADVICE = (
    "Wait until the mud has drifted away. Then fill it again upstream of where anybody stood, from flowing "
    "water, without touching the bottom."
)


def run(reading: Reading, visit: Visit, limits: Limits) -> Finding:
    """Look whether the class took cloudy water from a stirred-up place.

    Parameters
    ----------
    reading : transparency or turbidity; ``procedure["undisturbed_water"]``
    visit : not used; a single reading is enough
    limits : not used

    Returns
    -------
    Finding
        3 from stirred-up water, 1 from undisturbed water, 2 when nobody noted it.
    """
    undisturbed = reading.procedure.get("undisturbed_water")
    if not isinstance(undisturbed, bool):
        return Finding(
            Flag.NOT_EVALUATED, "It was not noted whether the water was taken where nothing was stirred up."
        )
    evidence = {"undisturbed_water": undisturbed}
    if undisturbed:
        return Finding(Flag.PASS, evidence=evidence)
    message = "The water was stirred up where it was taken: it looks cloudier than the stream is."
    return Finding(Flag.SUSPECT, message, evidence, ADVICE)


CHECK = ReadingCheck(
    id="disturbed-water",
    version=1,
    stage=Stage.CONSISTENCY,
    run=run,
    parameters=frozenset({"transparency", "turbidity"}),
)
