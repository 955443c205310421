"""The addresses of what was measured last. They count days to today, so their tag names the time too."""

from datetime import UTC, datetime
from typing import Annotated

from fastapi import APIRouter, Depends, Query, Request, Response

from service.core.database import RequestSession
from service.core.formats.answer import PAGE_WRITERS, described, in_same_format, page_as_file
from service.core.formats.json_text import json_page
from service.core.formats.negotiate import Format, ending_known, format_wanted
from service.core.links import next_link
from service.core.paging import read_cursor
from service.network.latest.answer import latest_rows, parameters_wanted
from service.network.latest.columns import LATEST, flat_latest
from service.network.latest.schemas import LatestPage, LatestQuery
from service.schools.caller import ReadCaller
from service.schools.unchanged import only_if_changed_today
from service.sites.choose import sites_chosen

router = APIRouter(prefix="/v1", tags=["ask"], dependencies=[Depends(only_if_changed_today)])

ALSO_FILES = described(PAGE_WRITERS)


@router.get("/sites/latest", response_model=LatestPage, responses=ALSO_FILES)
@router.get(
    "/sites/latest.{ending}",
    name="list_latest_as",
    response_model=LatestPage,
    responses=ALSO_FILES,
    dependencies=[Depends(ending_known)],
)
def list_latest(
    request: Request,
    asked: Annotated[LatestQuery, Query()],
    session: RequestSession,
    caller: ReadCaller,
) -> Response:
    """List every site with the newest released value of each parameter, and how many days old it is.

    A file has one row a site and parameter; `limit` counts sites.
    """
    (after,) = read_cursor(asked.cursor, [str]) if asked.cursor else ("",)
    parameters = parameters_wanted(asked.parameter)
    sites = sites_chosen(request, session, caller, asked, str(after), asked.limit + 1)
    wanted = format_wanted(request, asked.f)
    link = next_link(request, asked.limit, sites, lambda site: [site.code])
    link = in_same_format(request, link, wanted, asked.f)
    rows = latest_rows(session, sites[: asked.limit], parameters, caller, datetime.now(UTC))
    if wanted is Format.JSON:
        return json_page(rows, link)
    return page_as_file(request, LATEST, [one for row in rows for one in flat_latest(row)], wanted, link)
