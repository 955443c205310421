"""A trend over years: the verdict, its words, and the evidence."""

from collections.abc import Sequence
from dataclasses import dataclass

from service.science.trend.evidence import Evidence, gather_evidence
from service.science.trend.monthly_medians import Observation
from service.science.trend.reasons import trend_reasons
from service.science.trend.verdict import Verdict, decide
from service.science.trend.wording import Subject, verdict_words


@dataclass(frozen=True, slots=True)
class Trend:
    """A verdict with its text, its reasons and its evidence."""

    verdict: Verdict
    text: str
    reasons: tuple[str, ...]
    evidence: Evidence


def judge_trend(observations: Sequence[Observation], subject: Subject) -> Trend:
    """Return what the observations of a site say of a trend.

    Parameters
    ----------
    observations : sequence of Observation
        Of one parameter or index, in the order of time [the unit of the subject].
    subject : Subject
        What they are observations of.

    Returns
    -------
    Trend
    """
    found = gather_evidence(observations)
    ruling = decide(found)
    return Trend(
        ruling.verdict, verdict_words(ruling, found, subject), trend_reasons(ruling, found, subject), found
    )
