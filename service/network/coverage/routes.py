"""The address of how often sites are visited. Without dates it counts to today, so it has no tag."""

from datetime import UTC, datetime, timedelta
from typing import Annotated

from fastapi import APIRouter, Query, Request, Response

from service.core.database import RequestSession
from service.core.links import link_header, next_link
from service.core.paging import read_cursor
from service.network.coverage.queries import SitesAsked, numbers_of_sites
from service.network.coverage.schemas import CoveragePage, CoverageQuery
from service.network.coverage.weeks import covered_sites, weeks_touched
from service.schools.caller import ReadCaller
from service.sites.box import read_box
from service.sites.choose import shown_to
from service.sites.watershed_filter import watershed_asked

router = APIRouter(prefix="/v1", tags=["ask"])
USUAL_DAYS = 83  # with the last day, twelve weeks


@router.get("/coverage")
def list_coverage(
    request: Request,
    response: Response,
    asked: Annotated[CoverageQuery, Query()],
    session: RequestSession,
    caller: ReadCaller,
) -> CoveragePage:
    """List by site and ISO week how often it was visited, and which sites are overdue."""
    (after,) = read_cursor(asked.cursor, [str]) if asked.cursor else ("",)
    until = asked.to or max(datetime.now(UTC).date(), asked.from_ or datetime.min.date())
    since = asked.from_ or until - timedelta(days=USUAL_DAYS)
    sites = SitesAsked(
        until,
        asked.overdue_days,
        watershed_asked(request, asked.watershed),
        asked.stream,
        asked.school,
        None if asked.bbox is None else shown_to(caller, read_box(asked.bbox)),
    )
    rows = covered_sites(session, sites, since, str(after), asked.limit + 1, only_overdue=asked.overdue)
    link = next_link(request, asked.limit, rows, lambda row: [row.site])
    link_header(response, link)
    number, overdue = numbers_of_sites(session, sites)
    return CoveragePage(
        from_date=since,
        to_date=until,
        weeks=weeks_touched(since, until),
        overdue_days=asked.overdue_days,
        sites=number,
        sites_overdue=overdue,
        items=rows[: asked.limit],
        next=link,
    )
