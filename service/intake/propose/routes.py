"""Where a file is sent to learn how it could be read."""

from typing import Annotated

from fastapi import APIRouter, Query, Request

from service.core.database import RequestSession, own_commit
from service.core.errors import FieldError, Invalid
from service.intake.imports.open_source import places_of
from service.intake.propose.propose import propose
from service.intake.propose.schemas import Proposal, ProposeQuery
from service.intake.sheets.cell import Unreadable
from service.intake.upload import uploaded
from service.intake.upload_body import SHEETS, upload_body
from service.intake.whose_sheet import school_of_sheet
from service.schools.caller import WritingCaller

router = APIRouter(prefix="/v1")
BODY = upload_body(SHEETS, {})


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
    with own_commit(session):  # nobody waits for this request while the file is looked at
        places = places_of(session, school_of_sheet(session, caller, asked.school))
    with uploaded(request) as upload:
        try:
            return propose(upload.path, places, asked.sheet)
        except Unreadable as error:
            raise Invalid([FieldError("", error.message)]) from None
