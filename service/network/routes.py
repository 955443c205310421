"""Addresses that answer for the whole network."""

from typing import Annotated, Any, TypeVar
from urllib.parse import urlencode

from fastapi import APIRouter, Depends, Query, Request, Response
from sqlmodel import Session

from service.core.database import RequestSession
from service.core.errors import BadQuery, NotFound
from service.core.formats.answer import PAGE_WRITERS, described, in_same_format, page_as_file
from service.core.formats.json_text import json_page
from service.core.formats.negotiate import Format, ending_known, format_wanted
from service.core.links import absolute, next_link
from service.core.schema import Query as NoMoreParameters
from service.network.ask import question_of
from service.network.listing import Listing
from service.network.pages import READING_LIST, SCORE_LIST, VISIT_LIST
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
from service.network.summary.sum_up import watershed_summary
from service.network.watersheds import watershed_tree
from service.schools.caller import Caller, ReadCaller
from service.schools.unchanged import only_if_changed
from service.sites.watershed_filter import watershed_asked
from service.visits.ask import DatedQuery
from service.visits.question import Question

router = APIRouter(prefix="/v1", tags=["ask"], dependencies=[Depends(only_if_changed)])

ALSO_FILES = described(PAGE_WRITERS)
WITH_ENDING: Any = {"responses": ALSO_FILES, "dependencies": [Depends(ending_known)]}
Asked = TypeVar("Asked", VisitQuery, ReadingQuery, ScoreQuery)


def _answer(
    request: Request, session: Session, caller: Caller, asked: Asked, listing: Listing[Asked]
) -> Response:
    """Return one page of a list in the format that is wanted."""
    question, after = question_of(request, asked, caller), listing.read_key(asked.cursor)
    rows = listing.rows(session, question, asked, asked.limit + 1, after)
    wanted = format_wanted(request, asked.f)
    link = next_link(request, asked.limit, rows, listing.written_key)
    link = in_same_format(request, link, wanted, asked.f)
    rows = rows[: asked.limit]
    if wanted is Format.JSON:
        return json_page(rows, link)
    return page_as_file(request, listing.table, [listing.flat(row) for row in rows], wanted, link)


@router.get("/visits", response_model=VisitPage, responses=ALSO_FILES)
@router.get("/visits.{ending}", name="list_visits_as", response_model=VisitPage, **WITH_ENDING)
def list_visits(
    request: Request,
    asked: Annotated[VisitQuery, Query()],
    session: RequestSession,
    caller: ReadCaller,
) -> Response:
    """List visits by watershed and local date, with their readings and scores in short."""
    return _answer(request, session, caller, asked, VISIT_LIST)


@router.get("/readings", response_model=ReadingPage, responses=ALSO_FILES)
@router.get("/readings.{ending}", name="list_readings_as", response_model=ReadingPage, **WITH_ENDING)
def list_readings(
    request: Request,
    asked: Annotated[ReadingQuery, Query()],
    session: RequestSession,
    caller: ReadCaller,
) -> Response:
    """List readings by watershed and local date, one row a reading."""
    return _answer(request, session, caller, asked, READING_LIST)


@router.get("/scores", response_model=ScorePage, responses=ALSO_FILES)
@router.get("/scores.{ending}", name="list_scores_as", response_model=ScorePage, **WITH_ENDING)
def list_scores(
    request: Request,
    asked: Annotated[ScoreQuery, Query()],
    session: RequestSession,
    caller: ReadCaller,
) -> Response:
    """List scores by watershed and local date, one row a score."""
    return _answer(request, session, caller, asked, SCORE_LIST)


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
