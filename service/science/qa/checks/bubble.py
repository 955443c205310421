"""Was the closed bottle free of air? A bubble gives its oxygen to the water."""

from service.science.flags import Flag
from service.science.qa.check import Limits, ReadingCheck, Stage
from service.science.types import Finding, Reading, Visit

CLOSED_BOTTLE_KINDS = frozenset({"comparator", "drop-count", "titrator"})
ADVICE = (
    "Repeat the test: fill the bottle under water to the brim, tap its sides so that no air hangs on, close "
    "it under water and turn it over to look for a bubble."
)


def run(reading: Reading, visit: Visit, limits: Limits) -> Finding | None:
    """Look whether the class saw a bubble in the bottle or tube of an oxygen test.

    Parameters
    ----------
    reading : dissolved oxygen; ``procedure["bubble_free"]``
    visit : not used; a single reading is enough
    limits : not used; any bubble is too many

    Returns
    -------
    Finding or None
        3 with a bubble, 1 without, 2 when nobody noted it or the kit has no bottle (a meter).
    """
    if reading.kit is not None and reading.kit.kind not in CLOSED_BOTTLE_KINDS:
        return None
    bubble_free = reading.procedure.get("bubble_free")
    if not isinstance(bubble_free, bool):
        return Finding(Flag.NOT_EVALUATED, "It was not noted whether the bottle was free of bubbles.")
    evidence = {"bubble_free": bubble_free}
    if bubble_free:
        return Finding(Flag.PASS, evidence=evidence)
    message = "There was a bubble in the bottle: it adds oxygen of the air, so this reading may be too high."
    return Finding(Flag.SUSPECT, message, evidence, ADVICE)


CHECK = ReadingCheck(
    id="bubble",
    version=1,
    stage=Stage.CONSISTENCY,
    run=run,
    parameters=frozenset({"dissolved_oxygen"}),
)
