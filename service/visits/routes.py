"""Addresses of single visits; lists of them are the network's."""

from typing import Annotated
from uuid import UUID

from fastapi import APIRouter, Header, Query, Request, Response

from service.core.database import RequestSession
from service.core.errors import NotFound
from service.core.etag import etag_of, is_unchanged
from service.core.links import say_where
from service.core.schema import Query as QueryModel
from service.core.settings import Settings
from service.schools.caller import Caller, ReadCaller, WritingCaller
from service.sites.tables import Site
from service.visits.answers import RevisionsAnswer, VisitAnswer
from service.visits.history import revisions_of
from service.visits.record import VisitRecord
from service.visits.revise import revise_visit
from service.visits.schemas import VisitBody
from service.visits.see import visit_for
from service.visits.show_visit import shown_visit
from service.visits.submit import submit_visit
from service.visits.withdraw import withdraw_visit

router = APIRouter(prefix="/v1")


class SubmitQuery(QueryModel):
    """How a visit is taken in."""

    dry_run: bool = False


IfMatch = Annotated[
    str | None, Header(description="The ETag that the visit was answered with when you last saw it.")
]
IfNoneMatch = Annotated[str | None, Header(description="An ETag that you hold; 304 if it still stands.")]


def _answer(
    request: Request, response: Response, record: VisitRecord, site: Site, caller: Caller
) -> VisitAnswer:
    """Return a visit as the caller sees it, with its tag."""
    settings: Settings = request.app.state.settings
    answer = shown_visit(record, site, caller, settings.whom_to_call)
    response.headers["ETag"] = etag_of(answer)
    return answer


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
        say_where(request, response, f"/v1/visits/{done.record.visit.id}")
    return _answer(request, response, done.record, done.site, caller)


@router.put("/visits/{visit_id}", tags=["submit"])
def correct_visit(
    request: Request,
    response: Response,
    visit_id: UUID,
    body: VisitBody,
    session: RequestSession,
    caller: WritingCaller,
    if_match: IfMatch = None,
) -> VisitAnswer:
    """Correct a visit: it is checked and scored anew, and what was handed in before stays readable.

    `If-Match` names the version you saw (428 without it); 412 says that it has changed since, and that
    nothing was stored.
    """
    settings: Settings = request.app.state.settings
    done = revise_visit(session, settings, caller, visit_id, body, if_match)
    return _answer(request, response, done.record, done.site, caller)


@router.delete("/visits/{visit_id}", tags=["submit"])
def take_visit_back(
    request: Request,
    response: Response,
    visit_id: UUID,
    session: RequestSession,
    caller: WritingCaller,
    if_match: IfMatch = None,
) -> VisitAnswer:
    """Withdraw a visit: it leaves every list and every number, and stays readable for its own school."""
    settings: Settings = request.app.state.settings
    record, site = withdraw_visit(session, settings, caller, visit_id, if_match)
    return _answer(request, response, record, site, caller)


@router.get("/visits/{visit_id}", tags=["ask"], response_model=VisitAnswer, responses={304: {}})
def show_visit(
    request: Request,
    response: Response,
    visit_id: UUID,
    session: RequestSession,
    caller: ReadCaller,
    if_none_match: IfNoneMatch = None,
) -> VisitAnswer | Response:
    """Show one visit. One that is not released is there only for its school and the coordinator."""
    found = visit_for(session, caller, visit_id)
    if found is None:
        raise NotFound("There is no such visit.")
    answer = _answer(request, response, *found, caller)
    if is_unchanged(if_none_match, response.headers["ETag"]):
        return Response(status_code=304, headers={"ETag": response.headers["ETag"]})
    return answer


@router.get("/visits/{visit_id}/revisions", tags=["ask"])
def list_revisions(visit_id: UUID, session: RequestSession, caller: WritingCaller) -> RevisionsAnswer:
    """List what was handed in of a visit, for its own school and the coordinator."""
    return revisions_of(session, caller, visit_id)
