"""Addresses of whole lists: everything that a question finds, in one answer."""

from enum import StrEnum
from typing import Annotated, Any, TypeVar

from fastapi import APIRouter, Path, Query, Request, Response
from sqlmodel import Session

from service.core.database import RequestSession
from service.core.formats.answer import WHOLE_WRITERS, described, whole_as_file
from service.core.formats.negotiate import Format
from service.network.ask import question_of
from service.network.exports.whole import whole_list, whole_list_of_sites
from service.network.listing import Listing
from service.network.pages import READING_LIST, SCORE_LIST, VISIT_LIST
from service.network.schemas import ReadingChoice, ScoreChoice, VisitChoice
from service.schools.caller import Caller, ReadCaller
from service.sites.columns import SITES
from service.sites.schemas import SiteChoice

router = APIRouter(prefix="/v1/exports", tags=["ask"])


class Whole(StrEnum):
    """A format of a whole list: one that can be written and read row by row."""

    CSV = Format.CSV.value
    NDJSON = Format.NDJSON.value
    PARQUET = Format.PARQUET.value


Ending = Annotated[Whole, Path(description="Format of the answer, as the ending of a file name.")]
AS_FILE: dict[str, Any] = {"response_class": Response, "responses": described(WHOLE_WRITERS)}
Asked = TypeVar("Asked", VisitChoice, ReadingChoice, ScoreChoice)


def _answer(
    request: Request, session: Session, caller: Caller, asked: Asked, listing: Listing[Asked], ending: Whole
) -> Response:
    question, wanted = question_of(request, asked, caller), Format(ending)
    # CSV alone has no end that tells that it is whole.
    rows = listing.number(session, question, asked) if wanted is Format.CSV else None
    batches = whole_list(request.app.state.engine, question, listing, asked)
    return whole_as_file(request, listing.table, batches, wanted, rows)


@router.get("/visits.{ending}", **AS_FILE)
def export_visits(
    request: Request,
    ending: Ending,
    asked: Annotated[VisitChoice, Query()],
    session: RequestSession,
    caller: ReadCaller,
) -> Response:
    """Export all visits that meet the filters.

    CSV tells in `Content-Rows` how many rows come, NDJSON in its last line; Parquet is whole with its footer.
    """
    return _answer(request, session, caller, asked, VISIT_LIST, ending)


@router.get("/readings.{ending}", **AS_FILE)
def export_readings(
    request: Request,
    ending: Ending,
    asked: Annotated[ReadingChoice, Query()],
    session: RequestSession,
    caller: ReadCaller,
) -> Response:
    """Export all readings that meet the filters, one row a reading; how it ends as for visits."""
    return _answer(request, session, caller, asked, READING_LIST, ending)


@router.get("/scores.{ending}", **AS_FILE)
def export_scores(
    request: Request,
    ending: Ending,
    asked: Annotated[ScoreChoice, Query()],
    session: RequestSession,
    caller: ReadCaller,
) -> Response:
    """Export all scores that meet the filters, one row a score; how it ends as for visits."""
    return _answer(request, session, caller, asked, SCORE_LIST, ending)


@router.get("/sites.{ending}", **AS_FILE)
def export_sites(
    request: Request,
    ending: Ending,
    asked: Annotated[SiteChoice, Query()],
    session: RequestSession,
    caller: ReadCaller,
) -> Response:
    """Export all sites that meet the filters, Parquet as GeoParquet; how it ends as for visits."""
    rows = whole_list_of_sites(request, session, caller, asked)
    return whole_as_file(request, SITES, [rows], Format(ending), len(rows))
