"""Addresses of what a school may do with its own: take all of it along, have what is private removed."""

from fastapi import APIRouter, Request
from fastapi.responses import StreamingResponse

from service.core.database import RequestSession
from service.core.settings import Settings
from service.schools.caller import WritingCaller
from service.visits.private.answers import ConfirmBody, ForgottenAnswer, SchoolExport
from service.visits.private.forget import forget_private, own_school
from service.visits.private.school_export import export_school

router = APIRouter(prefix="/v1/schools/{code}")
TOLD = (
    "Gone from all revisions: notes, codes of teams, exact places of devices; gone too are the school's "
    "contact, and the mappings of its sheets, in whose words names may stand. What was measured stays, with "
    "its dates and sites. Backups that were made before still hold what was removed."
)


@router.get("/export", tags=["ask"], response_model=SchoolExport)
def export_own_school(
    request: Request, code: str, session: RequestSession, caller: WritingCaller
) -> StreamingResponse:
    """Give a school all that the network holds of it, the private parts included, in one document.

    It ends with `visits_count`: a document without it was cut off, so get it again.
    """
    settings: Settings = request.app.state.settings
    school = own_school(session, caller, code)
    return StreamingResponse(
        export_school(request.app.state.engine, caller, school, settings.whom_to_call),
        media_type="application/json",
        headers={
            "Content-Disposition": f'attachment; filename="{school.code}.json"',
            "Cache-Control": "no-store",
        },
    )


@router.delete("/private", tags=["submit"])
def forget_own_school(
    code: str, body: ConfirmBody, session: RequestSession, caller: WritingCaller
) -> ForgottenAnswer:
    """Remove for good what is private to a school: notes, teams, places of devices, contact, mappings.

    What was measured stays, and no address removes a school whole: the indices, references and summaries of
    other schools' sites rest on its released visits, and they must still be explained when it has left. A
    visit that should not count is withdrawn instead.
    """
    done = forget_private(session, caller, code, body.confirm)
    return ForgottenAnswer(
        school=code,
        visits=done.visits,
        contact=done.contact,
        mappings=done.mappings,
        text=TOLD,
        **done.revisions,
    )
