"""Where a file is sent to learn how it could be read."""

from typing import Annotated, Any

from fastapi import APIRouter, Query, Request
from sqlmodel import Session

from service.core.database import RequestSession
from service.core.errors import BadQuery, FieldError, Forbidden, Invalid
from service.core.formats.negotiate import Format
from service.intake.imports.open_source import places_of
from service.intake.propose.propose import propose
from service.intake.propose.schemas import Proposal, ProposeQuery
from service.intake.sheets.cell import Unreadable
from service.intake.upload import uploaded
from service.schools.caller import Caller, WritingCaller
from service.schools.queries import school_by_code

router = APIRouter(prefix="/v1")
BINARY: dict[str, Any] = {"schema": {"type": "string", "format": "binary"}}
TEXT: dict[str, Any] = {"schema": {"type": "string"}}
FORM: dict[str, Any] = {
    "schema": {
        "type": "object",
        "required": ["file"],
        "properties": {"file": {"type": "string", "format": "binary"}},
    }
}
BODY: dict[str, Any] = {
    "required": True,
    "content": {
        Format.CSV.media_type: TEXT,
        "text/tab-separated-values": TEXT,
        Format.XLSX.media_type: BINARY,
        "application/octet-stream": BINARY,
        "multipart/form-data": FORM,
    },
}


@router.post("/imports/propose", tags=["submit"], openapi_extra={"requestBody": BODY})
def propose_mapping(
    request: Request,
    asked: Annotated[ProposeQuery, Query()],
    session: RequestSession,
    caller: WritingCaller,
) -> Proposal:
    """Look at a sheet that somebody has, and propose how it could be read, with a question for every doubt.

    Nothing is stored. Put each answer into the mapping at the place that its question is about, then send the
    mapping with the file to `/v1/imports`.
    """
    school = _school(session, caller, asked.school)
    places = places_of(session, school)
    with uploaded(request) as upload:
        try:
            return propose(upload.path, places, asked.sheet)
        except Unreadable as error:
            raise Invalid([FieldError("", error.message)]) from None


def _school(session: Session, caller: Caller, named: str | None) -> str:
    if caller.school is not None and named not in (None, caller.school):
        raise Forbidden("A school asks about its own sheets.")
    school = named or caller.school
    if school is None:
        raise BadQuery("school: name the school whose sheet it is")
    if school_by_code(session, school) is None:
        raise BadQuery(f"school: there is no school {school}")
    return school
