"""Addresses of the criteria that the network has set."""

from typing import Annotated

from fastapi import APIRouter, Query, Request, Response

from service.core.database import RequestSession
from service.core.errors import NotFound
from service.core.links import link_header, next_link, say_where
from service.core.paging import read_cursor
from service.criteria.keep_criterion import change_criterion, create_criterion
from service.criteria.queries import criteria_after, criterion_by_code
from service.criteria.schemas import (
    CriterionAnswer,
    CriterionBody,
    CriterionPage,
    CriterionPatch,
    CriterionQuery,
)
from service.criteria.show_criterion import shown_criterion
from service.schools.caller import Coordinator, ReadCaller
from service.schools.once import OnlyOnce

router = APIRouter(prefix="/v1")


@router.post("/criteria", status_code=201, tags=["steer"])
def add_criterion(
    request: Request,
    response: Response,
    body: CriterionBody,
    session: RequestSession,
    caller: Coordinator,
    once: OnlyOnce,
) -> CriterionAnswer:
    """Enter a criterion, which replaces the default of its parameter in its watershed and water class.

    Visits that were scored before keep their scores until `wadebook rescore` makes them anew.
    """
    say_where(request, response, f"/v1/criteria/{body.code}")
    return once.answer(
        CriterionAnswer, body, lambda: shown_criterion(create_criterion(session, caller, body))
    )


@router.get("/criteria", tags=["ask"])
def list_criteria(
    request: Request,
    response: Response,
    asked: Annotated[CriterionQuery, Query()],
    session: RequestSession,
    caller: ReadCaller,
) -> CriterionPage:
    """List the network's own criteria; the defaults are at `/v1/catalogue/criteria`."""
    (after,) = read_cursor(asked.cursor, [str]) if asked.cursor else ("",)
    rows = criteria_after(session, str(after), asked.limit + 1, asked.parameter)
    link = next_link(request, asked.limit, rows, lambda row: [row.code])
    link_header(response, link)
    return CriterionPage(items=[shown_criterion(row) for row in rows[: asked.limit]], next=link)


@router.get("/criteria/{code}", tags=["ask"])
def show_criterion(code: str, session: RequestSession, caller: ReadCaller) -> CriterionAnswer:
    """Show one criterion of the network."""
    criterion = criterion_by_code(session, code)
    if criterion is None:
        raise NotFound("The network has no such criterion; the defaults are at /v1/catalogue/criteria.")
    return shown_criterion(criterion)


@router.patch("/criteria/{code}", tags=["steer"])
def patch_criterion(
    code: str, body: CriterionPatch, session: RequestSession, caller: Coordinator
) -> CriterionAnswer:
    """Change the name, the source or the last day of a criterion; its limits never change."""
    return shown_criterion(change_criterion(session, caller, code, body))
