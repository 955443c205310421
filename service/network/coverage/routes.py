"""The addresses of how often sites are visited. Without dates they count to today: no change names them."""

from datetime import UTC, date, datetime, timedelta
from typing import Annotated

from fastapi import APIRouter, Depends, Query, Request, Response

from service.core.database import RequestSession
from service.core.formats.answer import PAGE_WRITERS, described, in_same_format, page_as_file
from service.core.formats.negotiate import Format, ending_known, format_wanted
from service.core.links import link_header, next_link
from service.core.paging import read_cursor
from service.network.coverage.columns import COVERAGE, flat_coverage
from service.network.coverage.queries import SitesAsked, numbers_of_sites
from service.network.coverage.schemas import CoveragePage, CoverageQuery
from service.network.coverage.weeks import covered_sites, weeks_touched
from service.schools.caller import Caller, ReadCaller
from service.sites.box import read_box
from service.sites.choose import shown_to
from service.sites.watershed_filter import watershed_asked

router = APIRouter(prefix="/v1", tags=["ask"])
USUAL_DAYS = 83  # with the last day, twelve weeks


MOST_WEEKS_IN_A_FILE = 20_000  # rows of a file, each a week of a site
ALSO_FILES = described(PAGE_WRITERS)


@router.get("/coverage", response_model=CoveragePage, responses=ALSO_FILES)
@router.get(
    "/coverage.{ending}",
    name="list_coverage_as",
    response_model=CoveragePage,
    responses=ALSO_FILES,
    dependencies=[Depends(ending_known)],
)
def list_coverage(
    request: Request,
    response: Response,
    asked: Annotated[CoverageQuery, Query()],
    session: RequestSession,
    caller: ReadCaller,
) -> CoveragePage | Response:
    """List by site and ISO week how often it was visited, and which sites are overdue.

    A file has one row a site and week, also where nobody came; `limit` counts sites.
    """
    (after,) = read_cursor(asked.cursor, [str]) if asked.cursor else ("",)
    until = asked.to or max(datetime.now(UTC).date(), asked.from_ or datetime.min.date())
    since = asked.from_ or until - timedelta(days=USUAL_DAYS)
    sites = _sites_asked(request, asked, caller, until)
    wanted, limit = format_wanted(request, asked.f), asked.limit
    if wanted is not Format.JSON:
        limit = max(1, min(limit, MOST_WEEKS_IN_A_FILE // weeks_touched(since, until)))
    rows = covered_sites(session, caller, sites, since, str(after), limit + 1, only_overdue=asked.overdue)
    link = next_link(request, limit, rows, lambda row: [row.site])
    link = in_same_format(request, link, wanted, asked.f)
    if wanted is not Format.JSON:
        flat = [one for row in rows[:limit] for one in flat_coverage(row, since, until)]
        return page_as_file(request, COVERAGE, flat, wanted, link)
    link_header(response, link)
    number, overdue = numbers_of_sites(session, sites)
    return CoveragePage(
        from_date=since,
        to_date=until,
        weeks=weeks_touched(since, until),
        overdue_days=asked.overdue_days,
        sites=number,
        sites_overdue=overdue,
        items=rows[:limit],
        next=link,
    )


def _sites_asked(request: Request, asked: CoverageQuery, caller: Caller, until: date) -> SitesAsked:
    return SitesAsked(
        until,
        asked.overdue_days,
        watershed_asked(request, asked.watershed),
        asked.stream,
        asked.school,
        None if asked.bbox is None else shown_to(caller, read_box(asked.bbox)),
    )
