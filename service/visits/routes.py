"""Addresses of single visits; lists of them are the network's."""

from typing import Annotated
from uuid import UUID

from fastapi import APIRouter, Query, Request, Response

from service.core.database import RequestSession
from service.core.errors import NotFound
from service.core.links import absolute
from service.core.schema import Query as QueryModel
from service.core.settings import Settings
from service.schools.caller import ReadCaller, WritingCaller
from service.visits.answers import VisitAnswer
from service.visits.schemas import VisitBody
from service.visits.see import visit_for
from service.visits.show_visit import shown_visit
from service.visits.submit import submit_visit

router = APIRouter(prefix="/v1")


class SubmitQuery(QueryModel):
    """How a visit is taken in."""

    dry_run: bool = False


@router.post("/visits", status_code=201, tags=["submit"], responses={200: {"model": VisitAnswer}})
def hand_in_visit(
    request: Request,
    response: Response,
    body: VisitBody,
    how: Annotated[SubmitQuery, Query()],
    session: RequestSession,
    caller: WritingCaller,
) -> VisitAnswer:
    """Hand in a visit: it is checked, scored and stored, and the answer says what to look at again.

    With a `visit_id` of the client's own, sending the same again is safe and answers 200. With
    `dry_run=true` everything is said and nothing is stored.
    """
    settings: Settings = request.app.state.settings
    done = submit_visit(session, settings, caller, body, dry_run=how.dry_run)
    if how.dry_run or not done.is_new:
        response.status_code = 200
    if not how.dry_run:
        response.headers["Location"] = absolute(request, f"/v1/visits/{done.record.visit.id}")
    return shown_visit(done.record, done.site, caller, settings.whom_to_call)


@router.get("/visits/{visit_id}", tags=["ask"])
def show_visit(request: Request, visit_id: UUID, session: RequestSession, caller: ReadCaller) -> VisitAnswer:
    """Show one visit. One that is not released is there only for its school and the coordinator."""
    found = visit_for(session, caller, visit_id)
    if found is None:
        raise NotFound("There is no such visit.")
    record, site = found
    settings: Settings = request.app.state.settings
    return shown_visit(record, site, caller, settings.whom_to_call)
