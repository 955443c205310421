"""Where a site's field sheet is fetched, to be printed."""

from typing import Annotated, Any

from fastapi import APIRouter, Query, Request, Response
from sqlmodel import Session

from service.core.database import RequestSession
from service.core.errors import NotFound
from service.core.settings import Settings
from service.intake.paper.choose_kits import kits_for
from service.intake.paper.content import BEFORE_LEAVING, NET_ROWS, SheetContent, sheet_content
from service.intake.paper.schemas import PaperQuery, SheetQuery
from service.intake.web_page import page
from service.schools.caller import ReadCaller
from service.sites.queries import site_by_code

router = APIRouter(prefix="/v1", tags=["submit"])


def _described(media_type: str, schema: dict[str, Any]) -> dict[str, Any]:
    content = {media_type: {"schema": schema}}
    return {
        "response_class": Response,
        "responses": {200: {"description": "The field sheet.", "content": content}},
    }


def _content(request: Request, session: Session, site: str, kits: str | None) -> SheetContent:
    settings: Settings = request.app.state.settings
    found = site_by_code(session, site)
    if found is None:
        raise NotFound("There is no such site.")
    return sheet_content(settings.network_name, found, kits_for(session, site, kits))


@router.get("/sites/{site}/sheet.html", **_described("text/html", {"type": "string"}))
def show_field_sheet(
    request: Request,
    site: str,
    asked: Annotated[SheetQuery, Query()],
    session: RequestSession,
    caller: ReadCaller,
) -> Response:
    """Make the sheet that a class fills in at the creek, to be printed from a browser.

    It has the fields in the order of the work, with units, the limits of the kits, times to wait with boxes
    to tick, and what to mind.
    """
    content = _content(request, session, site, asked.kits)
    query = f"?kits={asked.kits}" if asked.kits else ""
    return page(
        "paper/sheet.html",
        "paper/sheet.css",
        sheet=content,
        net_rows=NET_ROWS,
        leaving=BEFORE_LEAVING,
        query=query,
    )


@router.get(
    "/sites/{site}/sheet.pdf", **_described("application/pdf", {"type": "string", "format": "binary"})
)
def show_field_sheet_pdf(
    request: Request,
    site: str,
    asked: Annotated[PaperQuery, Query()],
    session: RequestSession,
    caller: ReadCaller,
) -> Response:
    """Make the same sheet as PDF, on A4 or Letter paper.

    Names in letters that its font lacks show a question mark for each; the HTML sheet prints them all.
    """
    from service.intake.paper.pdf import sheet_pdf  # noqa: PLC0415  what draws it takes much memory

    content = sheet_pdf(_content(request, session, site, asked.kits), asked.paper)
    headers = {"Content-Disposition": f'inline; filename="field-sheet-{site}.pdf"'}
    return Response(content, media_type="application/pdf", headers=headers)
