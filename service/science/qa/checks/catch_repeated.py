"""Is this the catch of an earlier day, sent once more?"""

from service.science.catch import CountScheme
from service.science.flags import Flag
from service.science.qa.catch_part import present
from service.science.qa.check import Limits, Stage, VisitCheck
from service.science.scores.scorable import plural
from service.science.types import Evidence, Finding, Visit

ADVICE = (
    "Look at your field sheet: was the old one sent again? If so, send the counts of this visit. If the same "
    "numbers really came out twice, write that in the notes: your coordinator can let it stand."
)


def run(visit: Visit, limits: Limits) -> Finding | None:
    """Look for an earlier date at the site with exactly the same animals and numbers.

    Parameters
    ----------
    visit : its catch, and ``same_catch_on``, the earlier dates with exactly this catch
    limits : ``lines_min`` [lines] and ``animals_min`` [animals]; a smaller catch can be the same by chance

    Returns
    -------
    Finding or None
        3 for a repeated catch that is large enough; else 1, with a word on a small one, and on letters, which
        stand for so many numbers that they repeat by themselves; ``None`` without a catch.
    """
    if visit.catch is None:
        return None
    lines = present(visit.catch)
    animals = sum(tally.count or 0 for tally in lines)
    on = ", ".join(day.isoformat() for day in visit.same_catch_on)
    evidence: Evidence = {"same_catch_on": on, "lines": len(lines), "animals": animals}
    if not visit.same_catch_on:
        return Finding(Flag.PASS, evidence=evidence)
    if visit.catch.scheme is not CountScheme.COUNTS:
        return Finding(Flag.PASS, f"The letters are the same as on {on}; that can happen.", evidence)
    amount = f"{plural(len(lines), 'line')} with {plural(animals, 'animal')}"
    if len(lines) < limits["lines_min"] or animals < limits["animals_min"]:
        message = f"The catch is the same as on {on}; with only {amount} that can happen."
        return Finding(Flag.PASS, message, evidence)
    message = (
        f"The catch is exactly the same as on {on}: {amount}, every number alike. "
        "Two samples hardly ever come out the same."
    )
    return Finding(Flag.SUSPECT, message, evidence, ADVICE)


CHECK = VisitCheck(
    id="catch-repeated",
    version=1,
    stage=Stage.CONSISTENCY,
    run=run,
    needs=("lines_min", "animals_min"),
    of_catch=True,
)
