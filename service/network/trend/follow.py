"""Follow one parameter or one index of a site over the years, by what is released."""

from sqlmodel import Session

from service.core.errors import BadQuery, NotFound
from service.indices.queries import index_by_code
from service.network.series.queries import readings_in_time, scores_in_time
from service.network.trend.answer import trend_answer
from service.network.trend.observations import NOT_NOTED, observed_readings, observed_scores
from service.network.trend.schemas import TrendAnswer, TrendQuery
from service.reference.load import load_catalogue
from service.science.qa.wording import parameter_words
from service.science.trend.judge import judge_trend
from service.science.trend.wording import Subject
from service.sites.keep_kit import find_kits
from service.sites.queries import site_by_code
from service.visits.question import Question
from service.visits.tables import State

BETTER_OR_WORSE = (
    "Whether a higher score is better or worse for the stream stands with the index in /v1/catalogue/indices."
)


def site_trend(session: Session, site: str, asked: TrendQuery) -> TrendAnswer:
    """Return what the released routine visits of a site say of a trend.

    Raises
    ------
    NotFound
        There is no such site.
    BadQuery
        Not exactly one of parameter and index is given, or it is not known.
    """
    if site_by_code(session, site) is None:
        raise NotFound(f"There is no site {site}.")
    question = Question(site=site, since=asked.from_, until=asked.to, states=(State.RELEASED,))
    if asked.parameter is not None and asked.index is None:
        return _of_parameter(session, site, question, asked.parameter)
    if asked.index is not None and asked.parameter is None:
        return _of_index(session, site, question, asked.index)
    raise BadQuery(
        "Name one thing to follow over the years: either parameter (listed at /v1/catalogue/parameters) or "
        "index (listed at /v1/catalogue/indices), and not both."
    )


def _of_parameter(session: Session, site: str, question: Question, parameter: str) -> TrendAnswer:
    known = load_catalogue().parameters
    if parameter not in known:
        raise BadQuery(
            f"Query parameter parameter: {parameter} is not known; those that are stand in "
            "/v1/catalogue/parameters."
        )
    rows = readings_in_time(session, question, (parameter,))
    kits = find_kits(session, {row["kit"] for row in rows if row["kit"]})
    subject = Subject(parameter_words(parameter), known[parameter].unit, "readings", "kind of kit", NOT_NOTED)
    trend = judge_trend(observed_readings(rows, kits), subject)
    return trend_answer(trend, subject, site=site, parameter=parameter, index=None)


def _of_index(session: Session, site: str, question: Question, index: str) -> TrendAnswer:
    if index not in load_catalogue().definitions and index_by_code(session, index) is None:
        raise BadQuery(
            f"Query parameter index: {index} is not known; those that are stand in /v1/catalogue/indices."
        )
    subject = Subject(f"the score {index}", "", "scores", "definition", note=BETTER_OR_WORSE)
    trend = judge_trend(observed_scores(scores_in_time(session, question, index)), subject)
    return trend_answer(trend, subject, site=site, parameter=None, index=index)
