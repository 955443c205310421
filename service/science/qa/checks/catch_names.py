"""Does the register know the animals by their names? What it cannot place, no score can use."""

from service.science.flags import Flag
from service.science.qa.catch_part import names_written, present, share_percent
from service.science.qa.check import Limits, Stage, VisitCheck
from service.science.qa.wording import number_words, rounded_words
from service.science.scores.scorable import amount_words
from service.science.types import Finding, Visit

ADVICE = (
    "Look at the spelling and in your key, and send the catch again with the name of the group that you are "
    "sure of, for example mayfly. What you cannot name: photograph it beside a ruler, from above and below, "
    "for your coordinator."
)


def run(visit: Visit, limits: Limits) -> Finding | None:
    """Look for animals whose name is not known, or stands for more than one kind of animal.

    Parameters
    ----------
    visit : its catch; a taxon of ``None`` marks a name that could not be placed
    limits : ``unnamed_percent_most`` [%], the share of such animals (of lines, where letters were given) up
        to which the scores still speak for the catch

    Returns
    -------
    Finding or None
        3 above that share; else 1, with the names where there are any; ``None`` without a catch.
    """
    if visit.catch is None:
        return None
    unnamed = [tally for tally in present(visit.catch) if tally.taxon is None]
    percent, most = share_percent(visit.catch, unnamed), limits["unnamed_percent_most"]
    evidence = {"unnamed_percent": round(percent, 1), "unnamed_percent_most": most}
    if not unnamed:
        return Finding(Flag.PASS, evidence=evidence)
    message = (
        f"Left out of the scores: {amount_words(visit.catch, unnamed)} ({rounded_words(percent)} % of the "
        f"catch) whose name is not in the list or fits several animals: {names_written(unnamed)}."
    )
    if percent > most:
        message = f"{message} With more than {number_words(most)} % left out, a score says little."
        return Finding(Flag.SUSPECT, message, evidence, ADVICE)
    return Finding(Flag.PASS, message, evidence, ADVICE)


CHECK = VisitCheck(
    id="catch-names",
    version=1,
    stage=Stage.CONSISTENCY,
    run=run,
    needs=("unnamed_percent_most",),
    of_catch=True,
)
