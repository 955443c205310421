"""Addresses of whole lists: everything that a question finds, in one answer."""

from contextlib import nullcontext
from enum import StrEnum
from typing import Annotated, Any, TypeVar

from fastapi import APIRouter, Depends, Path, Query, Request, Response
from sqlmodel import Session

from service.core.database import RequestSession, reading
from service.core.errors import BadQuery
from service.core.formats.answer import described, streamed_file, written_file
from service.core.formats.negotiate import Format
from service.network.ask import question_of
from service.network.exports.visit_sheet import visit_sheet
from service.network.exports.whole import whole_list, whole_list_of_sites
from service.network.latest.answer import parameters_wanted
from service.network.latest.schemas import ParametersFilter
from service.network.listing import Listing
from service.network.pages import READING_LIST, SCORE_LIST, VISIT_LIST
from service.network.schemas import ReadingChoice, ScoreChoice, VisitChoice
from service.schools.caller import Caller, ReadCaller
from service.schools.unchanged import only_if_changed
from service.sites.columns import SITES
from service.sites.schemas import SiteChoice

router = APIRouter(prefix="/v1/exports", tags=["ask"], dependencies=[Depends(only_if_changed)])
# Up to so many rows a list is written before it goes out: about a second (a workbook some ten), and some ten
# megabytes.
MOST_ROWS_WRITTEN = 50_000


class Whole(StrEnum):
    """A format of a whole list: one that can be written and read row by row."""

    CSV = Format.CSV.value
    NDJSON = Format.NDJSON.value
    PARQUET = Format.PARQUET.value


class Sheet(StrEnum):
    """A format of the sheet of visits: one that a spreadsheet opens."""

    CSV = Format.CSV.value
    XLSX = Format.XLSX.value


Ending = Annotated[Whole, Path(description="Format of the answer, as the ending of a file name.")]
AS_FILE: dict[str, Any] = {"response_class": Response, "responses": described(map(Format, Whole))}
AS_SHEET: dict[str, Any] = {"response_class": Response, "responses": described(map(Format, Sheet))}
Asked = TypeVar("Asked", VisitChoice, ReadingChoice, ScoreChoice)


def _answer(
    request: Request,
    session: Session,
    caller: Caller,
    asked: Asked,
    listing: Listing[Asked],
    ending: Whole | Sheet,
) -> Response:
    question, wanted = question_of(request, asked, caller), Format(ending)
    # CSV and the workbook tell or need the whole number; else it is enough to know whether they are many.
    at_most = MOST_ROWS_WRITTEN + 1 if wanted in (Format.NDJSON, Format.PARQUET) else None
    rows = listing.number(session, question, asked, at_most)
    if wanted is Format.XLSX and rows > MOST_ROWS_WRITTEN:
        raise BadQuery(
            f"These are {rows} visits, and a workbook here holds at most {MOST_ROWS_WRITTEN}; ask for fewer "
            "by from and to, or take .csv"
        )
    if rows <= MOST_ROWS_WRITTEN:
        # In the request's own session, so that all of it is of the moment that its tag names.
        batches = whole_list(lambda: nullcontext(session), question, listing, asked)
        return written_file(request, listing.table, batches, wanted)
    engine = reading(request.app.state.engine)
    batches = whole_list(lambda: Session(engine), question, listing, asked)
    return streamed_file(request, listing.table, batches, wanted, rows)


@router.get("/visits.{ending}", **AS_FILE)
def export_visits(
    request: Request,
    ending: Ending,
    asked: Annotated[VisitChoice, Query()],
    session: RequestSession,
    caller: ReadCaller,
) -> Response:
    """Export all visits that meet the filters.

    Up to 50,000 rows come with `Content-Length` and `Content-Rows`, and in parts where `Range` asks for one.
    What is longer comes as it is made: CSV with `Content-Rows`, NDJSON with a last line that tells how many
    rows it has; Parquet is whole with its footer.
    """
    return _answer(request, session, caller, asked, VISIT_LIST, ending)


class SheetChoice(VisitChoice):
    """Which visits, and which parameters of them."""

    parameter: ParametersFilter = None


@router.get("/visit-sheet.{ending}", **AS_SHEET)
def export_visit_sheet(
    request: Request,
    ending: Annotated[Sheet, Path(description="Format of the sheet, as the ending of a file name.")],
    asked: Annotated[SheetChoice, Query()],
    session: RequestSession,
    caller: ReadCaller,
) -> Response:
    """Export a sheet for people, one row a visit and one column a parameter with its unit in the head.

    Failed readings are left out; two columns at the end name the parameters that are censored or suspect.
    """
    return _answer(request, session, caller, asked, visit_sheet(parameters_wanted(asked.parameter)), ending)


@router.get("/readings.{ending}", **AS_FILE)
def export_readings(
    request: Request,
    ending: Ending,
    asked: Annotated[ReadingChoice, Query()],
    session: RequestSession,
    caller: ReadCaller,
) -> Response:
    """Export all readings that meet the filters, one row a reading; told to be whole as visits are."""
    return _answer(request, session, caller, asked, READING_LIST, ending)


@router.get("/scores.{ending}", **AS_FILE)
def export_scores(
    request: Request,
    ending: Ending,
    asked: Annotated[ScoreChoice, Query()],
    session: RequestSession,
    caller: ReadCaller,
) -> Response:
    """Export all scores that meet the filters, one row a score; told to be whole as visits are."""
    return _answer(request, session, caller, asked, SCORE_LIST, ending)


@router.get("/sites.{ending}", **AS_FILE)
def export_sites(
    request: Request,
    ending: Ending,
    asked: Annotated[SiteChoice, Query()],
    session: RequestSession,
    caller: ReadCaller,
) -> Response:
    """Export all sites that meet the filters, Parquet as GeoParquet; told to be whole as visits are."""
    rows = whole_list_of_sites(request, session, caller, asked)
    return written_file(request, SITES, [rows], Format(ending))
