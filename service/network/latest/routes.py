"""The address of what was measured last. It counts days to today, so it has no tag to ask again by."""

from datetime import UTC, datetime
from typing import Annotated

from fastapi import APIRouter, Query, Request, Response

from service.core.database import RequestSession
from service.core.links import link_header, next_link
from service.core.paging import read_cursor
from service.network.latest.answer import latest_rows, parameters_wanted
from service.network.latest.schemas import LatestPage, LatestQuery
from service.schools.caller import ReadCaller
from service.sites.choose import sites_chosen

router = APIRouter(prefix="/v1", tags=["ask"])


@router.get("/sites/latest")
def list_latest(
    request: Request,
    response: Response,
    asked: Annotated[LatestQuery, Query()],
    session: RequestSession,
    caller: ReadCaller,
) -> LatestPage:
    """List every site with the newest released value of each parameter, and how many days old it is."""
    (after,) = read_cursor(asked.cursor, [str]) if asked.cursor else ("",)
    parameters = parameters_wanted(asked.parameter)
    sites = sites_chosen(request, session, caller, asked, str(after), asked.limit + 1)
    link = next_link(request, asked.limit, sites, lambda site: [site.code])
    link_header(response, link)
    rows = latest_rows(session, sites[: asked.limit], parameters, caller, datetime.now(UTC))
    return LatestPage(items=rows, next=link)
