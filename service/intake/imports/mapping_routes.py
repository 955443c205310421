"""Addresses of the mappings that a school keeps."""

from typing import Annotated

from fastapi import APIRouter, Query, Request, Response

from service.core.database import RequestSession
from service.core.links import link_header, next_link
from service.core.paging import PageQuery, read_cursor
from service.intake.imports.keep_mapping import find_mapping, keep_mapping, remove_mapping, require_own
from service.intake.imports.mapping_answers import MappingAnswer, MappingPage, SentMapping
from service.intake.imports.queries import mappings_after
from service.intake.mapping.schemas import Mapping
from service.schools.caller import WritingCaller
from service.schools.tables import KeptMapping

router = APIRouter(prefix="/v1/schools/{school}/mappings")


def _shown(kept: KeptMapping) -> MappingAnswer:
    return MappingAnswer(
        school=kept.school,
        code=kept.code,
        changed_at=kept.changed_at,
        mapping=Mapping.model_validate(kept.content),
    )


@router.get("", tags=["ask"], response_model_exclude_unset=True)
def list_mappings(
    request: Request,
    response: Response,
    school: str,
    page: Annotated[PageQuery, Query()],
    session: RequestSession,
    caller: WritingCaller,
) -> MappingPage:
    """List how a school's own sheets are read, for the school itself and the coordinator."""
    require_own(session, caller, school)
    (after,) = read_cursor(page.cursor, [str]) if page.cursor else ("",)
    rows = mappings_after(session, school, str(after), page.limit + 1)
    link = next_link(request, page.limit, rows, lambda row: [row.code])
    link_header(response, link)
    return MappingPage(items=[_shown(row) for row in rows[: page.limit]], next=link)


@router.get("/{code}", tags=["ask"], response_model_exclude_unset=True)
def show_mapping(school: str, code: str, session: RequestSession, caller: WritingCaller) -> MappingAnswer:
    """Show how one kind of a school's sheets is read."""
    return _shown(find_mapping(session, caller, school, code))


@router.put(
    "/{code}",
    tags=["submit"],
    response_model_exclude_unset=True,
    responses={201: {"model": MappingAnswer, "description": "It was new."}},
)
def put_mapping(
    response: Response,
    school: str,
    code: str,
    body: SentMapping,
    session: RequestSession,
    caller: WritingCaller,
) -> MappingAnswer:
    """Keep how one kind of a school's sheets is read, as JSON or (`Content-Type: application/toml`) as TOML.

    Files are then taken in at `/v1/imports?mapping=` with its code. What stood under the code is replaced.
    """
    kept, is_new = keep_mapping(session, caller, school, code, body)
    if is_new:
        response.status_code = 201
    return _shown(kept)


@router.delete("/{code}", tags=["submit"], response_model_exclude_unset=True)
def drop_mapping(school: str, code: str, session: RequestSession, caller: WritingCaller) -> MappingAnswer:
    """Remove a mapping; what was taken in by it stays."""
    return _shown(remove_mapping(session, caller, school, code))
