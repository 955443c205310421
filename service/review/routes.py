"""Addresses of the review: held visits, decisions and alerts."""

from typing import Annotated
from uuid import UUID

from fastapi import APIRouter, Query, Request, Response

from service.core.database import RequestSession
from service.core.errors import NotFound
from service.core.links import link_header, next_link
from service.core.schema import Code
from service.core.settings import Settings
from service.review.answers import AlertPage, AlertRow, DecisionPage, ReviewPage
from service.review.decide import decide
from service.review.held import held_key, held_visits, review_items
from service.review.quality.answers import QualityReport
from service.review.quality.report import quality_report
from service.review.queries import decisions_of
from service.review.raised_alerts import acknowledge, alert_key, raised_alerts, shown_raised
from service.review.schemas import AlertQuery, DecisionBody, QualityQuery, ReviewQuery
from service.review.show_item import shown_decision
from service.schools.caller import Coordinator, WritingCaller
from service.schools.once import OnlyOnce
from service.visits.answers import VisitAnswer
from service.visits.ask import question_asked
from service.visits.queries import visit_by_id
from service.visits.question import Question
from service.visits.show_visit import shown_visit

router = APIRouter(prefix="/v1", tags=["steer"])


@router.get("/review")
def list_held(
    request: Request,
    response: Response,
    asked: Annotated[ReviewQuery, Query()],
    session: RequestSession,
    caller: Coordinator,
) -> ReviewPage:
    """List the visits that wait for a decision, the worst first, each with what helps to decide."""
    settings: Settings = request.app.state.settings
    question = question_asked(request, asked, caller)
    rows = held_visits(session, question, asked.cursor, asked.limit + 1)
    link = next_link(request, asked.limit, rows, held_key)
    link_header(response, link)
    items = review_items(session, rows[: asked.limit], caller, settings.whom_to_call)
    return ReviewPage(items=items, next=link)


@router.post("/visits/{visit_id}/decisions")
def add_decision(
    request: Request,
    visit_id: UUID,
    body: DecisionBody,
    session: RequestSession,
    caller: Coordinator,
    once: OnlyOnce,
) -> VisitAnswer:
    """Release or reject a visit, or set the flag of one reading; answers the visit as it then stands."""
    settings: Settings = request.app.state.settings

    def make() -> VisitAnswer:
        record, site = decide(session, caller, visit_id, body)
        return shown_visit(record, site, caller, settings.whom_to_call)

    return once.answer(VisitAnswer, body, make)


@router.get("/visits/{visit_id}/decisions")
def list_decisions(visit_id: UUID, session: RequestSession, caller: WritingCaller) -> DecisionPage:
    """List what was decided about a visit and why, for its own school and the coordinator."""
    visit = visit_by_id(session, visit_id)
    if visit is None or not caller.sees_school(visit.school):
        raise NotFound("There is no such visit.")
    items = [shown_decision(row, caller) for row in decisions_of(session, [visit_id])]
    return DecisionPage(items=items, next=None)


@router.get("/alerts")
def list_alerts(
    request: Request,
    response: Response,
    asked: Annotated[AlertQuery, Query()],
    session: RequestSession,
    caller: WritingCaller,
) -> AlertPage:
    """List the alerts, the newest first: all for the coordinator, its own for a school."""
    settings: Settings = request.app.state.settings
    question = Question(
        since=asked.from_,
        until=asked.to,
        school=caller.school,
        own_school=caller.school,
        sees_everything=caller.is_coordinator,
    )
    rows = raised_alerts(session, question, asked.cursor, asked.limit + 1, asked.acknowledged)
    link = next_link(request, asked.limit, rows, alert_key)
    link_header(response, link)
    items = [shown_raised(row, caller, settings.whom_to_call) for row in rows[: asked.limit]]
    return AlertPage(items=items, next=link)


@router.post("/alerts/{visit_id}/{alert}/acknowledge")
def acknowledge_alert(
    request: Request, visit_id: UUID, alert: Code, session: RequestSession, caller: Coordinator
) -> AlertRow:
    """Say that the coordinator has seen an alert; saying it again changes nothing."""
    settings: Settings = request.app.state.settings
    raised = acknowledge(session, caller, visit_id, alert)
    return shown_raised(raised, caller, settings.whom_to_call)


@router.get("/quality")
def report_quality(
    request: Request, asked: Annotated[QualityQuery, Query()], session: RequestSession, caller: Coordinator
) -> QualityReport:
    """Report how good the readings are: usable, flagged, falsely flagged, and how well duplicates agree."""
    question = question_asked(request, asked, caller)
    return quality_report(session, question, asked.period, asked.parameter)
