"""What the checks of the catch do to its scores: none from a failed catch, no firm one from a doubt."""

from collections.abc import Iterable
from dataclasses import replace

from service.science.flags import Flag
from service.science.scores.index import Score, Standing


def qualify(scores: Iterable[Score], flag: Flag) -> tuple[Score, ...]:
    """Return the scores as the flag of the catch lets them stand.

    A catch that failed has no score, and the reason is said; one that is suspect is at best provisional.
    """
    if flag is Flag.FAIL:
        return tuple(_withheld(score) for score in scores)
    if flag is Flag.SUSPECT:
        return tuple(_doubted(score) for score in scores)
    return tuple(scores)


def _withheld(score: Score) -> Score:
    reasons = (*score.reasons, "not scored: a check of the catch failed")
    return Score(
        score.index, score.definition, None, None, Standing.MISSING, reasons=reasons, inputs=score.inputs
    )


def _doubted(score: Score) -> Score:
    reasons = (*score.reasons, "a check of the catch is in doubt about it")
    standing = Standing.PROVISIONAL if score.standing is Standing.RATED else score.standing
    return replace(score, standing=standing, reasons=reasons)
