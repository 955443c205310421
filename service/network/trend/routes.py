"""The address that tells whether something changes at a site over the years."""

from typing import Annotated

from fastapi import APIRouter, Depends, Query

from service.core.database import RequestSession
from service.network.trend.follow import site_trend
from service.network.trend.schemas import TrendAnswer, TrendQuery
from service.schools.caller import ReadCaller
from service.schools.unchanged import only_if_changed

router = APIRouter(prefix="/v1", tags=["ask"], dependencies=[Depends(only_if_changed)])


@router.get("/sites/{site}/trend")
def show_trend(
    site: str, asked: Annotated[TrendQuery, Query()], session: RequestSession, caller: ReadCaller
) -> TrendAnswer:
    """Tell whether a parameter or an index of a site rises or falls over the years, and what limits that."""
    return site_trend(session, site, asked)
