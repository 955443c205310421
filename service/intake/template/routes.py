"""Where our own template is fetched, made for a school's sites and kits."""

from typing import Annotated, Any

from fastapi import APIRouter, Query, Request, Response

from service.core.database import RequestSession
from service.core.formats.negotiate import Format
from service.core.settings import Settings
from service.intake.template.choose import template_choice
from service.intake.template.csv_file import template_csv
from service.intake.template.schemas import TemplateQuery, WorkbookQuery
from service.intake.template.workbook import Look, template_workbook
from service.reference.load import load_catalogue
from service.schools.caller import ReadCaller

router = APIRouter(prefix="/v1", tags=["submit"])


def _described(kind: Format, schema: dict[str, Any]) -> dict[str, Any]:
    content = {kind.media_type: {"schema": schema}}
    return {
        "response_class": Response,
        "responses": {200: {"description": "The template.", "content": content}},
    }


def _file(content: bytes, kind: Format, asked: TemplateQuery) -> Response:
    name = "-".join(filter(None, ("visits", asked.school, asked.site)))
    headers = {"Content-Disposition": f'attachment; filename="{name}.{kind.value}"'}
    return Response(content, media_type=kind.media_type, headers=headers)


@router.get("/template.xlsx", **_described(Format.XLSX, {"type": "string", "format": "binary"}))
def show_template_workbook(
    request: Request,
    asked: Annotated[WorkbookQuery, Query()],
    session: RequestSession,
    caller: ReadCaller,
) -> Response:
    """Make the workbook in which a school writes its visits, to be sent to `/v1/imports`.

    It has lists of the school's sites and of animals to choose from, a column for each kit, and a sheet that
    says what to write and what to mind. Without `kits`, the usual readings have a column each.
    """
    settings: Settings = request.app.state.settings
    title = f"{settings.network_name}: visits" + (f" of {asked.school}" if asked.school else "")
    content = template_workbook(template_choice(session, asked), Look(title, asked.paper), load_catalogue())
    return _file(content, Format.XLSX, asked)


@router.get("/template.csv", **_described(Format.CSV, {"type": "string"}))
def show_template_csv(
    asked: Annotated[TemplateQuery, Query()],
    session: RequestSession,
    caller: ReadCaller,
) -> Response:
    """Make the same template as one list, for programs that have no workbooks.

    A visit's readings stand in its first row; each further animal has a row of its own with only site, date,
    time and team again.
    """
    return _file(template_csv(template_choice(session, asked), load_catalogue()), Format.CSV, asked)
