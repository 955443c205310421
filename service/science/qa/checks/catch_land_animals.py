"""Are there animals of the land in the net? They fell in, and tell nothing of the water."""

from service.science.flags import Flag
from service.science.qa.catch_part import names_written, present, share_percent
from service.science.qa.check import Limits, Stage, VisitCheck
from service.science.qa.wording import number_words
from service.science.scores.scorable import amount_words
from service.science.types import Finding, Visit

ADVICE = (
    "Keep the net on the stream bed and away from grass and branches, and take the sample again if you can. "
    "If a name is wrong, for example earthworm for a water worm, send the catch with the right one."
)


def run(visit: Visit, limits: Limits) -> Finding | None:
    """Look for animals that live on land.

    Parameters
    ----------
    visit : its catch; the taxa table says what lives on land
    limits : ``land_percent_most`` [%], the share of such animals (of lines, where letters were given) up to
        which the catch still is a sample of the water

    Returns
    -------
    Finding or None
        3 above that share; else 1, with the number left out where there are any; ``None`` without a catch.
    """
    if visit.catch is None:
        return None
    from_land = [
        tally for tally in present(visit.catch) if tally.taxon is not None and tally.taxon.terrestrial
    ]
    percent, most = share_percent(visit.catch, from_land), limits["land_percent_most"]
    evidence = {"land_percent": round(percent, 1), "land_percent_most": most}
    if not from_land:
        return Finding(Flag.PASS, evidence=evidence)
    message = (
        f"Left out of the scores: {amount_words(visit.catch, from_land)} of the land that fell in: "
        f"{names_written(from_land)}."
    )
    if percent > most:
        message = f"{message} That is more than {number_words(most)} % of the catch."
        return Finding(Flag.SUSPECT, message, evidence, ADVICE)
    return Finding(Flag.PASS, message, evidence)


CHECK = VisitCheck(
    id="catch-land-animals",
    version=1,
    stage=Stage.CONSISTENCY,
    run=run,
    needs=("land_percent_most",),
    of_catch=True,
)
