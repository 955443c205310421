"""Addresses that answer for the whole network."""

from typing import Annotated
from urllib.parse import urlencode

from fastapi import APIRouter, Query, Request, Response

from service.core.database import RequestSession
from service.core.errors import BadQuery, NotFound
from service.core.links import absolute, link_header, next_link
from service.core.schema import Query as NoMoreParameters
from service.network.ask import question_of
from service.network.pages import (
    reading_key,
    reading_page,
    score_key,
    score_page,
    visit_key,
    visit_page,
)
from service.network.schemas import (
    ReadingPage,
    ReadingQuery,
    ScorePage,
    ScoreQuery,
    VisitPage,
    VisitQuery,
    WatershedPage,
    WatershedSummary,
)
from service.network.summary import watershed_summary
from service.network.watersheds import watershed_tree
from service.schools.caller import ReadCaller
from service.sites.watershed_filter import watershed_asked
from service.visits.ask import DatedQuery
from service.visits.question import Question

router = APIRouter(prefix="/v1", tags=["ask"])


@router.get("/visits")
def list_visits(
    request: Request,
    response: Response,
    asked: Annotated[VisitQuery, Query()],
    session: RequestSession,
    caller: ReadCaller,
) -> VisitPage:
    """List visits by watershed and local date, with their readings and scores in short."""
    rows = visit_page(session, question_of(request, asked, caller), asked)
    link = next_link(request, asked.limit, rows, visit_key)
    link_header(response, link)
    return VisitPage(items=rows[: asked.limit], next=link)


@router.get("/readings")
def list_readings(
    request: Request,
    response: Response,
    asked: Annotated[ReadingQuery, Query()],
    session: RequestSession,
    caller: ReadCaller,
) -> ReadingPage:
    """List readings by watershed and local date, one row a reading."""
    rows = reading_page(session, question_of(request, asked, caller), asked)
    link = next_link(request, asked.limit, rows, reading_key)
    link_header(response, link)
    return ReadingPage(items=rows[: asked.limit], next=link)


@router.get("/scores")
def list_scores(
    request: Request,
    response: Response,
    asked: Annotated[ScoreQuery, Query()],
    session: RequestSession,
    caller: ReadCaller,
) -> ScorePage:
    """List scores by watershed and local date, one row a score."""
    rows = score_page(session, question_of(request, asked, caller), asked)
    link = next_link(request, asked.limit, rows, score_key)
    link_header(response, link)
    return ScorePage(items=rows[: asked.limit], next=link)


class TreeQuery(NoMoreParameters):
    """Which part of the tree."""

    watershed: Annotated[str | None, Query(max_length=40)] = None


@router.get("/watersheds")
def list_watersheds(
    request: Request, asked: Annotated[TreeQuery, Query()], session: RequestSession, caller: ReadCaller
) -> WatershedPage:
    """List the watersheds that hold sites, at every level, with how many."""
    within = watershed_asked(request, asked.watershed)
    return WatershedPage(items=watershed_tree(session, within), next=None)


@router.get("/watersheds/{code}/summary")
def summarise_watershed(
    request: Request,
    code: str,
    asked: Annotated[DatedQuery, Query()],
    session: RequestSession,
    caller: ReadCaller,
) -> WatershedSummary:
    """Sum up the visits of a watershed: counts, medians that honour censoring, scores by band."""
    try:
        watershed = watershed_asked(request, code)
    except BadQuery as error:
        raise NotFound(error.message) from None
    assert watershed is not None
    question = Question(
        watershed=watershed,
        since=asked.from_,
        until=asked.to,
        sees_everything=caller.is_coordinator,
        own_school=caller.school,
    )
    dates = {"from": asked.from_, "to": asked.to}
    query = urlencode({name: on.isoformat() for name, on in dates.items() if on is not None})
    ranking = absolute(request, f"/v1/watersheds/{code}/ranking" + (f"?{query}" if query else ""))
    return watershed_summary(session, watershed, question, ranking)
