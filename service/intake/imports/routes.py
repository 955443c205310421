"""Where a file is sent to be taken in."""

import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request
from fastapi.responses import StreamingResponse

from service.core.database import RequestSession, own_commit
from service.core.errors import BadQuery, FieldError, Invalid
from service.core.formats.negotiate import Format
from service.core.http_errors import PROBLEM_TYPE
from service.core.settings import Settings
from service.intake.imports.judge import ImportOrder
from service.intake.imports.keep_mapping import find_mapping
from service.intake.imports.open_source import mapping_from, open_source, places_of
from service.intake.imports.report import Told, write_report
from service.intake.imports.report_sheet import write_csv_report, write_xlsx_report
from service.intake.imports.schemas import ImportQuery, ImportReport
from service.intake.imports.shelf.queries import Shelf, open_shelf
from service.intake.imports.source import Source
from service.intake.imports.take_in import take_in
from service.intake.mapping.schemas import Mapping
from service.intake.sheets.cell import Unreadable
from service.intake.upload import Upload, uploaded
from service.intake.upload_body import MAPPING, REPORTS, SHEETS, TEXT, upload_body
from service.intake.whose_sheet import school_of_sheet
from service.schools.caller import WritingCaller

router = APIRouter(prefix="/v1")
CHUNK_BYTES = 65_536
BODY = upload_body(SHEETS | {"application/x-ndjson": TEXT}, MAPPING)
WRITERS = {"csv": write_csv_report, "xlsx": write_xlsx_report}
PROBLEM = {PROBLEM_TYPE: {"schema": {"$ref": "#/components/schemas/Problem"}}}
ANSWERS: dict[int | str, dict[str, Any]] = {
    200: {"content": REPORTS},
    404: {"description": "The school keeps no such mapping.", "content": PROBLEM},
}


@router.post(
    "/imports",
    tags=["submit"],
    response_model=ImportReport,
    responses=ANSWERS,
    openapi_extra={"requestBody": BODY},
)
def import_file(
    request: Request,
    asked: Annotated[ImportQuery, Query()],
    session: RequestSession,
    caller: WritingCaller,
) -> StreamingResponse:
    """Take in a file of visits: a sheet read by a mapping, the network's template, or one visit a line.

    Every row comes back with its fate. A visit goes in whole or not at all, judged like one that is handed in
    alone. Sent again, a file doubles nothing; a visit that is stored with other content is corrected with
    `revise=true`.
    """
    with own_commit(session):  # nobody waits for this request while the file is looked at
        order = ImportOrder(school_of_sheet(session, caller, asked.school), asked.dry_run, asked.revise)
        kept = None
        if asked.mapping is not None:
            kept = Mapping.model_validate(find_mapping(session, caller, order.school, asked.mapping).content)
        places = places_of(session, order.school)
    settings: Settings = request.app.state.settings
    with uploaded(request) as upload, open_shelf() as shelf:
        if kept is not None and upload.mapping is not None:
            raise BadQuery("mapping: name one, or send one with the file, not both")
        try:
            mapping = kept or _sent_mapping(upload)
            source, way = open_source(upload.path, upload.name, upload.media_type, mapping, places)
            take_in(session, settings, caller, order, source, shelf)
        except Unreadable as error:
            raise Invalid([FieldError("", error.message)]) from None
        told = Told(upload.name, source.sheets, asked.mapping or way, order, shelf.totals())
        return _report(told, source, shelf, asked.f)


def _sent_mapping(upload: Upload) -> Mapping | None:
    if upload.mapping is None:
        return None
    try:
        return mapping_from(upload.mapping.decode())
    except UnicodeDecodeError:
        raise Invalid([FieldError("/mapping", "is no text in UTF-8")]) from None


def _report(told: Told, source: Source, shelf: Shelf, form: str) -> StreamingResponse:
    report = tempfile.NamedTemporaryFile(prefix="wadebook-report-")  # noqa: SIM115  sent after the return
    if form != "json":
        try:
            WRITERS[form](source, shelf, Path(report.name))
        except Unreadable:
            form = "json"  # read again, the file failed; what became of it must be told all the same
    if form == "json":
        with Path(report.name).open("wb") as target:
            write_report(told, shelf, target)
        return StreamingResponse(_pieces(report), media_type=Format.JSON.media_type)
    name = {"Content-Disposition": f'attachment; filename="import-report.{form}"'}
    return StreamingResponse(_pieces(report), media_type=Format(form).media_type, headers=name)


def _pieces(report: "tempfile._TemporaryFileWrapper[bytes]") -> Iterator[bytes]:
    with report, Path(report.name).open("rb") as written:
        while piece := written.read(CHUNK_BYTES):
            yield piece
