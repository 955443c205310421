"""Are there many gilled snails? A crowd of very small ones may be an invasive mudsnail.

The New Zealand mudsnail has gills, a lid and its opening on the right, so a class writes "gilled snail",
which counts as a sign of clean water.
"""

from service.science.catch import CountScheme
from service.science.flags import Flag
from service.science.qa.catch_part import fewest_animals
from service.science.qa.check import Limits, Stage, VisitCheck
from service.science.scores.scorable import scorable
from service.science.types import Finding, Visit

GILLED_SNAIL = "gilled snail"
ADVICE = (
    "Lay five of them along a ruler. If they are shorter than 6 mm, photograph them from both sides beside "
    "the ruler, note the exact place, and tell your coordinator today. Carry none away: check, clean and dry "
    "nets, boots and pans before they go to any other water. If they are larger, write the size in the notes."
)


def run(visit: Visit, limits: Limits) -> Finding | None:
    """Count the snails that a class took for gilled snails.

    Parameters
    ----------
    visit : its catch, in counts or letters
    limits : ``snails_most`` [animals]

    Returns
    -------
    Finding or None
        3 when there are certainly more; else 1; ``None`` without a catch.
    """
    if visit.catch is None:
        return None
    snails = sum(
        fewest_animals(line.count, line.letter) for line in scorable(visit.catch) if line.kind == GILLED_SNAIL
    )
    evidence = {"gilled_snails": snails, "snails_most": limits["snails_most"]}
    if snails <= limits["snails_most"]:
        return Finding(Flag.PASS, evidence=evidence)
    number = f"{snails}" if visit.catch.scheme is CountScheme.COUNTS else f"{snails} or more"
    message = (
        f"{number} gilled snails were counted. Very small ones in such numbers may be an invasive mudsnail, "
        "which looks like a gilled snail but is no sign of clean water."
    )
    return Finding(Flag.SUSPECT, message, evidence, ADVICE)


CHECK = VisitCheck(
    id="catch-gilled-snails",
    version=1,
    stage=Stage.CONSISTENCY,
    run=run,
    needs=("snails_most",),
    of_catch=True,
)
