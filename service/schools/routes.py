"""Addresses of schools and keys."""

from typing import Annotated
from uuid import UUID

from fastapi import APIRouter, Query, Request, Response

from service.core.database import RequestSession
from service.core.errors import BadQuery, Conflict, NotFound
from service.core.links import link_header, next_link, say_where
from service.core.paging import PageQuery, read_cursor
from service.schools.caller import Caller, Coordinator, ReadCaller
from service.schools.keep_key import create_key, revoke_key
from service.schools.keep_school import change_school, create_school
from service.schools.once import OnlyOnce
from service.schools.queries import keys_after, school_by_code, schools_after
from service.schools.schemas import (
    KeyAnswer,
    KeyBody,
    KeyPage,
    NewKeyAnswer,
    SchoolAnswer,
    SchoolBody,
    SchoolPage,
    SchoolPatch,
)
from service.schools.tables import School

router = APIRouter(prefix="/v1")
PageOf = Annotated[PageQuery, Query()]


def _shown(school: School, caller: Caller) -> SchoolAnswer:
    contact = school.contact_email if caller.sees_school(school.code) else None
    return SchoolAnswer(code=school.code, name=school.name, time_zone=school.time_zone, contact_email=contact)


@router.post("/schools", status_code=201, tags=["steer"])
def add_school(
    request: Request,
    response: Response,
    body: SchoolBody,
    session: RequestSession,
    caller: Coordinator,
    once: OnlyOnce,
) -> SchoolAnswer:
    """Enter a school into the network."""
    say_where(request, response, f"/v1/schools/{body.code}")
    return once.answer(SchoolAnswer, body, lambda: _shown(create_school(session, caller, body), caller))


@router.get("/schools", tags=["ask"])
def list_schools(
    request: Request, response: Response, page: PageOf, session: RequestSession, caller: ReadCaller
) -> SchoolPage:
    """List the schools of the network."""
    (after,) = read_cursor(page.cursor, [str]) if page.cursor else ("",)
    rows = schools_after(session, str(after), page.limit + 1)
    link = next_link(request, page.limit, rows, lambda row: [row.code])
    link_header(response, link)
    return SchoolPage(items=[_shown(row, caller) for row in rows[: page.limit]], next=link)


@router.get("/schools/{code}", tags=["ask"])
def show_school(code: str, session: RequestSession, caller: ReadCaller) -> SchoolAnswer:
    """Show one school."""
    school = school_by_code(session, code)
    if school is None:
        raise NotFound("There is no such school.")
    return _shown(school, caller)


@router.patch("/schools/{code}", tags=["steer"])
def patch_school(code: str, body: SchoolPatch, session: RequestSession, caller: Coordinator) -> SchoolAnswer:
    """Change what is known of a school."""
    return _shown(change_school(session, caller, code, body), caller)


@router.post("/keys", status_code=201, tags=["steer"])
def add_key(body: KeyBody, session: RequestSession, caller: Coordinator, once: OnlyOnce) -> NewKeyAnswer:
    """Make a key; the answer is the only time it is shown."""

    def make() -> NewKeyAnswer:
        made = create_key(session, body.role, body.school, body.label, body.expires_on, by=caller.key_text)
        return NewKeyAnswer(**made[0].model_dump(exclude={"fingerprint"}), key=made[1])

    answer = once.answer(NewKeyAnswer, body, make, hidden=frozenset({"key"}))
    if not answer.key:
        raise Conflict(
            f"This request was carried out before: it made key {answer.id}, which is shown only once. If the "
            "answer was lost, revoke that key and make another."
        )
    return answer


@router.get("/keys", tags=["steer"])
def list_keys(
    request: Request, response: Response, page: PageOf, session: RequestSession, caller: Coordinator
) -> KeyPage:
    """List the keys of the network, without the keys themselves."""
    (after,) = read_cursor(page.cursor, [str]) if page.cursor else (str(UUID(int=0)),)
    try:
        newest = UUID(str(after))
    except ValueError:
        raise BadQuery("cursor: not one that this list gave; start again without it") from None
    rows = keys_after(session, newest, page.limit + 1)
    link = next_link(request, page.limit, rows, lambda row: [str(row.id)])
    link_header(response, link)
    items = [KeyAnswer(**row.model_dump(exclude={"fingerprint"})) for row in rows[: page.limit]]
    return KeyPage(items=items, next=link)


@router.delete("/keys/{key_id}", tags=["steer"])
def remove_key(key_id: UUID, session: RequestSession, caller: Coordinator) -> KeyAnswer:
    """Revoke a key at once."""
    return KeyAnswer(**revoke_key(session, key_id, by=caller.key_text).model_dump(exclude={"fingerprint"}))
