"""Where a list of sites is sent."""

import tempfile
from contextlib import suppress
from pathlib import Path
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request, Response

from service.core.database import RequestSession
from service.core.errors import FieldError, Invalid
from service.core.formats.negotiate import Format
from service.intake.sheets.cell import Unreadable
from service.intake.site_lists.load import require_one_school, site_list_mapping
from service.intake.site_lists.mapping import SiteListMapping
from service.intake.site_lists.report import reported, write_sheet_report
from service.intake.site_lists.schemas import SiteListQuery, SiteListReport
from service.intake.site_lists.take_in import ListOrder, Taken, take_in_sites
from service.intake.upload import Upload, uploaded
from service.intake.upload_body import MAPPING, REPORTS, upload_body
from service.schools.caller import Coordinator

router = APIRouter(prefix="/v1")
BODY = upload_body({}, MAPPING, needed=("mapping",))
AS_FILES: dict[int | str, dict[str, Any]] = {200: {"content": REPORTS}}


@router.post(
    "/imports/sites",
    tags=["steer"],
    response_model=SiteListReport,
    responses=AS_FILES,
    openapi_extra={"requestBody": BODY},
)
def import_sites(
    request: Request,
    asked: Annotated[SiteListQuery, Query()],
    session: RequestSession,
    caller: Coordinator,
) -> SiteListReport | Response:
    """Take in a list of sites, read by the mapping that comes with it as a part of the same form.

    Every row comes back with its fate, judged like a site that is entered alone. Sent again, a list doubles
    nothing; a site that is stored with other content is changed with `revise=true`. An empty cell empties
    nothing.
    """
    with uploaded(request) as upload:
        mapping = _mapping(upload)
        require_one_school(asked.school, mapping)
        order = ListOrder(asked.school, asked.dry_run, asked.revise)
        try:
            taken = take_in_sites(session, caller, order, upload.path, mapping)
        except Unreadable as error:
            raise Invalid([FieldError("/file", error.message)]) from None
        if asked.f != "json":
            # Where the list fails when it is read again, what became of it is told all the same.
            with suppress(Unreadable):
                return _as_sheet(asked.f, upload.path, mapping, taken)
        return reported(upload.name, order, taken)


def _mapping(upload: Upload) -> SiteListMapping:
    if upload.mapping is None:
        raise Invalid([FieldError("/mapping", "is missing; send it as the part named mapping of a form")])
    try:
        text = upload.mapping.decode()
    except UnicodeDecodeError:
        raise Invalid([FieldError("/mapping", "is no text in UTF-8")]) from None
    return site_list_mapping(text)


def _as_sheet(form: str, path: Path, mapping: SiteListMapping, taken: Taken) -> Response:
    with tempfile.NamedTemporaryFile(prefix="wadebook-report-") as report:
        write_sheet_report(form, path, mapping, taken, Path(report.name))
        content = Path(report.name).read_bytes()
    name = {"Content-Disposition": f'attachment; filename="sites-report.{form}"'}
    return Response(content, media_type=Format(form).media_type, headers=name)
