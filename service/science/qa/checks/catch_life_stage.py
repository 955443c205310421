"""Did winged insects fly into the net? Their young live in the water; the winged adults do not.

Beetles and bugs are left alone: they live in the water as adults too.
"""

from service.science.catch import Tally
from service.science.flags import Flag
from service.science.qa.catch_part import names_written, present, share_percent
from service.science.qa.check import Limits, Stage, VisitCheck
from service.science.scores.scorable import amount_words
from service.science.types import Finding, Visit

ADULT = "adult"
WINGED_ADULTS = frozenset(
    {"Ephemeroptera", "Plecoptera", "Trichoptera", "Odonata", "Megaloptera", "Neuroptera", "Diptera"}
)
ADVICE = (
    "Take the winged ones out of the counts and send the catch again: they flew in. If the animal had no "
    "wings that it could fly with, it was a larva, nymph or pupa: send it with that life stage."
)


def run(visit: Visit, limits: Limits) -> Finding | None:
    """Look for winged adults of insects that live in the water only while they are young.

    Parameters
    ----------
    visit : its catch, with life stages
    limits : ``winged_percent_most`` [%], the share of such adults (of lines, where letters were given) that
        moves no score

    Returns
    -------
    Finding or None
        3 above that share; else 1, with a word where there are any; ``None`` without a catch. One animal
        listed in several stages is as it should be.
    """
    if visit.catch is None:
        return None
    winged = [tally for tally in present(visit.catch) if _flew_in(tally)]
    percent, most = share_percent(visit.catch, winged), limits["winged_percent_most"]
    evidence = {"winged_percent": round(percent, 1), "winged_percent_most": most}
    if not winged:
        return Finding(Flag.PASS, evidence=evidence)
    message = (
        f"{amount_words(visit.catch, winged)} written as adult: {names_written(winged)}. The adults of these "
        "insects have wings and live out of the water."
    )
    return Finding(Flag.SUSPECT if percent > most else Flag.PASS, message, evidence, ADVICE)


def _flew_in(tally: Tally) -> bool:
    taxon = tally.taxon
    if taxon is None or taxon.terrestrial:
        return False
    return tally.life_stage == ADULT and taxon.order in WINGED_ADULTS


CHECK = VisitCheck(
    id="catch-life-stage",
    version=1,
    stage=Stage.CONSISTENCY,
    run=run,
    needs=("winged_percent_most",),
    of_catch=True,
)
