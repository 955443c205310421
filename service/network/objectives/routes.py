"""Addresses that set the readings of a period beside their objectives."""

from typing import Annotated

from fastapi import APIRouter, Depends, Query, Request

from service.core.database import RequestSession
from service.core.errors import BadQuery, NotFound
from service.network.objectives.bacteria_schemas import SiteBacteria
from service.network.objectives.ranking import watershed_ranking
from service.network.objectives.schemas import SiteCcme, WatershedRanking
from service.network.objectives.site_bacteria import site_bacteria
from service.network.objectives.site_ccme import site_ccme
from service.schools.caller import ReadCaller
from service.schools.unchanged import only_if_changed
from service.sites.watershed_filter import watershed_asked
from service.visits.ask import DatedQuery

router = APIRouter(prefix="/v1", tags=["ask"], dependencies=[Depends(only_if_changed)])


@router.get("/sites/{site}/ccme")
def show_ccme(
    site: str, asked: Annotated[DatedQuery, Query()], session: RequestSession, caller: ReadCaller
) -> SiteCcme:
    """Show how far a site keeps its criteria over a period and its seasons: the CCME index."""
    return site_ccme(session, site, asked)


@router.get("/sites/{site}/bacteria")
def show_bacteria(
    site: str, asked: Annotated[DatedQuery, Query()], session: RequestSession, caller: ReadCaller
) -> SiteBacteria:
    """Show E. coli over time: geometric means, shares above, and 30 days beside the values for bathing."""
    return site_bacteria(session, site, asked)


@router.get("/watersheds/{code}/ranking")
def rank_watershed(
    request: Request,
    code: str,
    asked: Annotated[DatedQuery, Query()],
    session: RequestSession,
    caller: ReadCaller,
) -> WatershedRanking:
    """Rank the sites of a watershed by their CCME index, only those that may be compared."""
    try:
        watershed = watershed_asked(request, code)
    except BadQuery as error:
        raise NotFound(error.message) from None
    assert watershed is not None
    return watershed_ranking(session, watershed, asked)
