"""E. coli in plain words: means with their mark, shares, and 30 days beside the values for bathing."""

from collections.abc import Sequence

from service.network.objectives.bacteria_schemas import WindowsInShort
from service.science.bacteria import Bound, GeometricMean, Share
from service.science.bathing_criteria import SAMPLES_WANTED, BathingCriterion, Statement
from service.science.qa.wording import rounded_words
from service.science.scores.scorable import plural

NO_SAMPLE = "No released E. coli sample of these dates."
CAUTION = (
    "This is screening: it says nothing of days without a sample, and nothing on whether to go into the"
    " water; ask the health office of the place."
)
_MARKS = {Bound.EXACT: "", Bound.AT_LEAST: "at least ", Bound.AT_MOST: "at most "}


def mean_words(mean: GeometricMean) -> str:
    """Return a mean in words, such as ``at least 79.5 per 100 mL``."""
    number = f"{rounded_words(mean.value)} per 100 mL"
    if mean.mark is None:
        return f"{number} with each limit as its value; with limits on both sides it bounds nothing"
    return f"{_MARKS[mean.mark]}{number}"


def share_words(share: Share, threshold: float) -> str:
    """Return how many samples lie above a value."""
    of = f"of {plural(share.samples, 'sample')} above {threshold:g} per 100 mL"
    if share.at_least == share.at_most:
        return f"{share.at_least} {of}"
    return f"at least {share.at_least} and at most {share.at_most} {of}"


def statement_words(criterion: BathingCriterion, statement: Statement, samples: int) -> str:
    """Return what 30 days say beside one pair of values."""
    if samples < SAMPLES_WANTED:
        return f"{plural(samples, 'sample')} in 30 days, {SAMPLES_WANTED} wanted: nothing can be told."
    return (
        f"Geometric mean at most {criterion.geometric_mean:g}: {statement.geometric_mean}."
        f" Not more than a tenth of the samples above {criterion.threshold:g}: {statement.share_above}."
        f" Together: {statement.together}."
    )


def in_short_words(in_short: Sequence[WindowsInShort]) -> str:
    """Return how the stretches of 30 days stand beside each pair of values."""
    return " ".join([*map(_beside, in_short), CAUTION])


def _beside(one: WindowsInShort) -> str:
    enough = one.meet + one.do_not_meet + one.cannot_tell
    return (
        f"Beside {one.geometric_mean_at_most:g} and {one.threshold:g} per 100 mL: of"
        f" {plural(enough, 'window')} of 30 days with {SAMPLES_WANTED} samples or more"
        f" {one.meet} meet the values, {one.do_not_meet} do not and {one.cannot_tell} cannot tell."
    )
