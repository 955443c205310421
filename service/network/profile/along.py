"""Where along a stream does something change: every parameter asked for, or an index."""

from sqlmodel import Session

from service.core.errors import BadQuery, NotFound
from service.indices.queries import index_by_code
from service.network.profile.answer import profile_answer
from service.network.profile.followed import Followed, follow
from service.network.profile.gather import readings_by_parameter, scores_by_site, sites_of_known_hours
from service.network.profile.ordered_sites import OrderedSites, order_sites
from service.network.profile.queries import sites_of_stream
from service.network.profile.schemas import ProfileQuery, StreamProfileAnswer
from service.network.series.queries import readings_in_time, scores_in_time
from service.reference.load import load_catalogue
from service.schools.caller import Caller
from service.science.qa.wording import parameter_words
from service.science.stream_profile_words import Measure, where_most_changes
from service.sites.keep_kit import find_kits
from service.visits.question import Question
from service.visits.tables import State

FEWEST_SITES = 2
SWING_DAILY = frozenset({"dissolved_oxygen", "dissolved_oxygen_saturation", "ph", "water_temperature"})
CAUTIONS = {"dissolved_oxygen": "Warmer water holds less oxygen: look at the water temperature as well."}


def stream_profile(session: Session, caller: Caller, stream: str, asked: ProfileQuery) -> StreamProfileAnswer:
    """Return where along a stream something changes, from released routine visits.

    The hours of visits count only where the caller may know them.

    Raises
    ------
    NotFound
        No site lies on a stream of this code.
    BadQuery
        The parameter or the index is not known.
    """
    sites = sites_of_stream(session, stream)
    if not sites:
        raise NotFound(f"There is no site on a stream {stream}.")
    question = Question(stream=stream, since=asked.from_, until=asked.to, states=(State.RELEASED,))
    ordered = order_sites(sites)
    followed: list[Followed] = []
    if asked.parameter is not None or asked.index is None:
        followed += _parameters(session, caller, question, ordered, asked.parameter)
    if asked.index is not None:
        followed.append(_index(session, caller, question, ordered, asked.index))
    return StreamProfileAnswer(
        stream=stream,
        from_date=asked.from_,
        to_date=asked.to,
        text=where_most_changes({one.measure.name: one.reaches for one in followed}),
        profiles=[profile_answer(one) for one in followed],
    )


def _parameters(
    session: Session, caller: Caller, question: Question, sites: OrderedSites, parameter: str | None
) -> list[Followed]:
    known = load_catalogue().parameters
    if parameter is not None and parameter not in known:
        raise BadQuery(
            f"Query parameter parameter: {parameter} is not known; those that are stand in "
            "/v1/catalogue/parameters."
        )
    wanted = tuple(known) if parameter is None else (parameter,)
    rows = readings_in_time(session, question, wanted)
    kits = find_kits(session, {row["kit"] for row in rows if row["kit"]})
    found = readings_by_parameter(rows, kits)
    hours_known_at = sites_of_known_hours(rows, caller)
    placed = {site.code for site in sites.placed}
    if parameter is None:
        wanted = tuple(one for one in wanted if len(placed & found.get(one, {}).keys()) >= FEWEST_SITES)
    return [
        follow(
            Measure(parameter_words(one), known[one].unit, one in SWING_DAILY, CAUTIONS.get(one, "")),
            sites,
            found.get(one, {}),
            hours_known_at,
            parameter=one,
        )
        for one in wanted
    ]


def _index(session: Session, caller: Caller, question: Question, sites: OrderedSites, index: str) -> Followed:
    if index not in load_catalogue().definitions and index_by_code(session, index) is None:
        raise BadQuery(
            f"Query parameter index: {index} is not known; those that are stand in /v1/catalogue/indices."
        )
    rows = scores_in_time(session, question, index)
    measure = Measure(f"the score {index}", "")
    return follow(measure, sites, scores_by_site(rows), sites_of_known_hours(rows, caller), index=index)
