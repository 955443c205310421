"""The CCME index of a site: over the whole period, and over each three months of it."""

from collections.abc import Sequence

from sqlmodel import Session

from service.core.errors import NotFound
from service.network.objectives.ccme_words import NOTHING, text_of
from service.network.objectives.kit_steps import steps_at_zero
from service.network.objectives.make_index import MadeIndex, make_index, rounded
from service.network.objectives.period_objectives import ObjectiveFinder, Period
from service.network.objectives.schemas import CcmeAnswer, SiteCcme, VariableAnswer
from service.network.objectives.visit_values import values_of_visits
from service.network.series.queries import readings_in_time
from service.reference.load import load_catalogue
from service.science.ccme_index import INDEX, Tested
from service.science.scores.scorable import plural
from service.science.three_months import seasons_of
from service.sites.queries import site_by_code
from service.visits.ask import DatedQuery
from service.visits.question import Question
from service.visits.tables import State

WHOLE = "whole period"


def site_ccme(session: Session, code: str, asked: DatedQuery) -> SiteCcme:
    """Return the index of a site from its released routine visits.

    A period without an end is that of the readings. Each season is cut to the period.

    Raises
    ------
    NotFound
        There is no such site.
    """
    site = site_by_code(session, code)
    if site is None:
        raise NotFound("There is no such site.")
    question = Question(site=code, since=asked.from_, until=asked.to, states=(State.RELEASED,))
    values = values_of_visits(readings_in_time(session, question, load_catalogue().parameters))
    if not values:
        return SiteCcme(site=code, index=INDEX.id, whole=None, seasons=[], text=NOTHING)
    first, last = asked.from_ or values[0].on, asked.to or values[-1].on
    periods = [Period(WHOLE, first, last)]
    periods += [
        Period(season.name, max(first, season.first), min(last, season.last))
        for season in seasons_of(value.on for value in values)
    ]
    finder, steps = ObjectiveFinder(session), steps_at_zero(session, values)
    whole, *seasons = (
        _answer(make_index(code, values, period, finder.for_period(site, period), steps))
        for period in periods
    )
    return SiteCcme(site=code, index=INDEX.id, whole=whole, seasons=seasons, text=_in_short(whole, seasons))


def _in_short(whole: CcmeAnswer, seasons: Sequence[CcmeAnswer]) -> str:
    with_class = sum(season.band is not None for season in seasons)
    return (
        f"Whole period: {whole.text} Of {plural(len(seasons), 'season')} with a visit {with_class} had enough"
        " tests for a class."
    )


def _answer(made: MadeIndex) -> CcmeAnswer:
    index = made.index
    return CcmeAnswer(
        name=made.period.name,
        from_date=made.period.first,
        to_date=made.period.last,
        first_visit=made.first_visit,
        last_visit=made.last_visit,
        visits=made.visits,
        definition=index.definition,
        value=rounded(index.value),
        band=index.band,
        standing=index.standing,
        low=rounded(index.low),
        high=rounded(index.high),
        bands=dict(index.bands),
        f1=rounded(index.f1),
        f2=rounded(index.f2),
        f3=rounded(index.f3),
        nse=index.nse,
        variables=len(index.used),
        failed_variables=sum(one.failed > 0 for one in index.used),
        tests=sum(one.tests for one in index.used),
        failed_tests=sum(one.failed for one in index.used),
        undecided=sum(one.undecided for one in index.tested),
        at_most=index.at_most,
        half_steps=index.half_steps,
        comparable_with=index.comparable_with,
        by_variable=[_variable(one) for one in index.tested],
        text=text_of(index),
        reasons=list(made.reasons),
    )


def _variable(one: Tested) -> VariableAnswer:
    objective = one.variable.objective
    return VariableAnswer(
        parameter=objective.parameter,
        criterion=objective.code,
        criterion_name=objective.name,
        at_least=objective.at_least,
        at_most=objective.at_most,
        unit=objective.unit,
        formula=objective.formula,
        source=objective.source,
        samples=len(one.judgements),
        tests=one.tests,
        failed_tests=one.failed,
        undecided=one.undecided,
        excursions=one.excursions,
        left_out=one.left_out,
    )
