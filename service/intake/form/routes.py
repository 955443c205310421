"""One plain page on which a class hands in its visit from a telephone: no script, no cookie, no login."""

import re
from typing import Annotated, NamedTuple
from urllib.parse import urlencode

from fastapi import APIRouter, Body, Query, Request, Response
from sqlmodel import Session

from service.core.database import RequestSession
from service.core.errors import Forbidden, Invalid, NotFound, Unauthenticated, WadebookError
from service.core.http_errors import STATUS
from service.core.ids import uuid7
from service.core.settings import Settings
from service.intake.form.build_body import build_body
from service.intake.form.draft import WHOLE
from service.intake.form.flow_fields import MORE_VERTICALS
from service.intake.form.hand_in import HandedIn, StoredAlready, check_or_hand_in
from service.intake.form.judged import judged
from service.intake.form.schemas import FormQuery, SendQuery
from service.intake.form.show import MORE_ROWS, STYLE, Form, Shown, form_page, new_visit, open_form
from service.intake.form.typed import KEY, MEDIA_TYPE, read_typed, without_key
from service.intake.web_page import page
from service.schools.caller import Caller, ReadCaller, writing_caller_with
from service.sites.queries import site_by_code, sites_after
from service.visits.schemas import VisitBody

router = APIRouter(include_in_schema=False)
MOST_SITES = 2_000
CHALLENGE = {"WWW-Authenticate": "Bearer"}
BOXES = "boxes"  # the list of the school's own, which only it and the coordinator see
FURTHER = frozenset({"open", "more", "twice", "rows", "places", BOXES})  # more of the form; nothing is judged
DAMAGED = "This page is damaged. Open the form of your site anew."


@router.get("/form")
def show_form(
    request: Request, asked: Annotated[FormQuery, Query()], session: RequestSession, caller: ReadCaller
) -> Response:
    """Show the form of a site, or the sites to choose from."""
    if asked.site is None:
        return _sites(request, session)
    site = site_by_code(session, asked.site)
    if site is None:
        return _sites(request, session, f"There is no site {asked.site}. Choose it from the list.", 404)
    if asked.visit_id is None:
        given = {"site": site.code, "visit_id": str(uuid7(only_day=True))}
        given |= {"kits": asked.kits} if asked.kits else {}
        return Response(status_code=303, headers={"Location": f"form?{urlencode(given)}"})
    typed = new_visit(site, asked.visit_id, asked.kits)
    return form_page(request, open_form(session, site, typed, asked.kits), Shown())


@router.post("/form")
def send_form(
    request: Request,
    body: Annotated[bytes, Body(media_type=MEDIA_TYPE)],
    how: Annotated[SendQuery, Query()],
    session: RequestSession,
) -> Response:
    """Check or hand in what was typed; whatever comes back still holds everything but the key."""
    typed = read_typed(body, request.headers.get("content-type", ""))
    key, wanted, typed = typed.get(KEY, ""), typed.get("do", ""), without_key(typed)
    if wanted == "new":
        typed |= {"visit_id": typed.get("spare_id", ""), "tag": ""}
    who = _who(request, session, key)
    settings: Settings = request.app.state.settings
    if who.caller is None and not settings.public_read:
        raise Unauthenticated(who.refusal)
    if wanted == "twice":
        typed["twice"] = "yes"
    site = site_by_code(session, typed.get("site", ""))
    if site is None:
        raise NotFound("There is no such site.")
    if wanted == "open":
        typed = new_visit(site, uuid7(only_day=True), None)
    kits = typed.get("kits", "")
    named = kits if re.fullmatch(r"[a-z0-9_,-]{1,2000}", kits) else None
    form = open_form(session, site, typed, named, who.caller)
    if wanted == BOXES and who.caller is None:
        return _without_key(request, form, who)
    if wanted in FURTHER:
        rows = MORE_ROWS if wanted == "rows" else 0
        places = MORE_VERTICALS if wanted == "places" else 0
        return form_page(request, form, Shown(tag=typed.get("tag", ""), extra_rows=rows, extra_places=places))
    return _answer(request, session, form, who, dry_run=how.dry_run)


class _Who(NamedTuple):
    """Whose key was typed, or why it is not taken."""

    caller: Caller | None
    refusal: str = ""
    status: int = 401


def _who(request: Request, session: Session, key: str) -> _Who:
    if not key:
        return _Who(None, "Type or paste the key of your school; the coordinator gave it to you.")
    try:
        return _Who(writing_caller_with(request, session, key))
    except (Unauthenticated, Forbidden) as error:
        return _Who(None, error.message, STATUS[type(error)])


def _answer(request: Request, session: Session, form: Form, who: _Who, *, dry_run: bool) -> Response:
    draft, tag = form.draft, form.draft.text("tag")
    visit = build_body(draft, form.readings, form.site.time_zone)
    if who.caller is None:
        return _without_key(request, form, who)
    if visit is None or visit.visit_id is None:
        if not draft.asked or "visit_id" in draft.asked:
            draft.asked.pop("visit_id", None)
            draft.ask(WHOLE, DAMAGED)
        return form_page(request, form, Shown(tag=tag), 422)
    return _judge(request, session, form, who.caller, visit, dry_run=dry_run)


def _without_key(request: Request, form: Form, who: _Who) -> Response:
    form.draft.ask(KEY, who.refusal)
    headers = CHALLENGE if who.status == 401 else {}
    return form_page(request, form, Shown(tag=form.draft.text("tag"), headers=headers), who.status)


def _judge(
    request: Request, session: Session, form: Form, caller: Caller, visit: VisitBody, *, dry_run: bool
) -> Response:
    draft, tag = form.draft, form.draft.text("tag")
    settings: Settings = request.app.state.settings
    try:
        done = check_or_hand_in(session, settings, caller, visit, dry_run=dry_run, tag=tag)
    except StoredAlready as found:
        return form_page(request, form, Shown(stored=found.stored, tag=tag), STATUS[type(found.why)])
    except Invalid as error:
        draft.refuse(error.errors)
        return form_page(request, form, Shown(tag=tag), 422)
    except WadebookError as error:
        draft.ask(WHOLE, error.message)
        return form_page(request, form, Shown(tag=tag), STATUS[type(error)])
    shown = Shown(judged=judged(done.answer, draft), tag=done.tag or tag)
    if not done.tag:
        return form_page(request, form, shown)
    return form_page(request, form, Shown(shown.judged, done, done.tag), _status(done))


def _status(done: HandedIn) -> int:
    return 201 if done.is_new and done.answer.revision == 1 else 200


def _sites(request: Request, session: Session, problem: str = "", status: int = 200) -> Response:
    settings: Settings = request.app.state.settings
    sites = sites_after(session, "", MOST_SITES)
    return page(
        "form/sites.html",
        STYLE,
        status,
        network=settings.network_name,
        sites=sites,
        problem=problem,
        is_cut=len(sites) == MOST_SITES,
    )
