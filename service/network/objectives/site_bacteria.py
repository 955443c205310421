"""E. coli of a site over a period: means, shares, and every 30 days beside the values for bathing."""

from collections.abc import Sequence
from datetime import date

from sqlmodel import Session

from service.core.errors import NotFound
from service.network.objectives.bacteria_answer import Sample, counts_of, sample_of, statements_of
from service.network.objectives.bacteria_schemas import (
    CountsAnswer,
    SiteBacteria,
    WindowAnswer,
    WindowsInShort,
)
from service.network.objectives.bacteria_words import NO_SAMPLE, in_short_words
from service.network.objectives.visit_values import VisitValue, values_of_visits
from service.network.series.queries import readings_in_time
from service.reference.load import load_catalogue
from service.science.bathing_criteria import (
    CRITERIA,
    DAYS_IN_WINDOW,
    SAMPLES_WANTED,
    BathingCriterion,
    Verdict,
    windows,
)
from service.science.scores.scorable import plural
from service.sites.queries import site_by_code
from service.visits.ask import DatedQuery
from service.visits.question import Question
from service.visits.tables import State

PARAMETER = "e_coli"


def site_bacteria(session: Session, code: str, asked: DatedQuery) -> SiteBacteria:
    """Return what the E. coli of a site says, from its released routine visits.

    Windows end within the dates asked for, and reach back before the first of them.

    Raises
    ------
    NotFound
        There is no such site.
    """
    if site_by_code(session, code) is None:
        raise NotFound("There is no such site.")
    question = Question(site=code, since=_reaching_back(asked), until=asked.to, states=(State.RELEASED,))
    before_too = values_of_visits(readings_in_time(session, question, (PARAMETER,)))
    values = [value for value in before_too if asked.from_ is None or value.on >= asked.from_]
    found = _windows(before_too, asked)
    in_short = [_in_short(place, criterion, found) for place, criterion in enumerate(CRITERIA)]
    samples = [sample_of(value) for value in values]
    whole = None
    if values:
        first, last = asked.from_ or values[0].on, asked.to or values[-1].on
        whole = CountsAnswer(**counts_of(samples, first, last))
    return SiteBacteria(
        site=code,
        parameter=PARAMETER,
        unit=load_catalogue().parameters[PARAMETER].unit,
        whole=whole,
        windows=found,
        in_short=in_short,
        text=in_short_words(in_short) if values else NO_SAMPLE,
        reasons=_reasons(values, samples),
    )


def _reaching_back(asked: DatedQuery) -> date | None:
    """Return the first date that the 30 days which end on the first date asked for reach back to."""
    if asked.from_ is None:
        return None
    return date.fromordinal(max(asked.from_.toordinal() - DAYS_IN_WINDOW + 1, 1))


def _windows(values: Sequence[VisitValue], asked: DatedQuery) -> list[WindowAnswer]:
    found = []
    samples = [sample_of(value) for value in values]
    for window in windows([value.on for value in values]):
        if asked.from_ is not None and window.last < asked.from_:
            continue
        inside = samples[window.samples.start : window.samples.stop]
        counts = counts_of(inside, window.first, window.last)
        found.append(WindowAnswer(**counts, statements=statements_of(inside)))
    return found


def _in_short(place: int, criterion: BathingCriterion, found: Sequence[WindowAnswer]) -> WindowsInShort:
    enough = [one.statements[place].together for one in found if one.samples >= SAMPLES_WANTED]
    return WindowsInShort(
        illnesses_per_1000=criterion.illnesses_per_1000,
        geometric_mean_at_most=criterion.geometric_mean,
        threshold=criterion.threshold,
        meet=enough.count(Verdict.MEETS),
        do_not_meet=enough.count(Verdict.DOES_NOT_MEET),
        cannot_tell=enough.count(Verdict.CANNOT_TELL),
        too_few_samples=len(found) - len(enough),
    )


def _reasons(values: Sequence[VisitValue], samples: Sequence[Sample]) -> list[str]:
    reasons = []
    repeated = sum(value.readings > 1 for value in values)
    if repeated:
        reasons.append(
            f"several readings of one visit count as one sample, their median: {plural(repeated, 'visit')}"
        )
    unknown = sum(sample.count is None for sample in samples)
    if unknown:
        reasons.append(
            f"{plural(unknown, 'sample')} of 0 without a kit or a limit: in no mean, and the mean of their"
            " 30 days stays open; name the kit, since no colony is less than its first mark and never 0"
        )
    return reasons
