"""One page of a list, or the whole of it, as a file."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Any
from urllib.parse import quote

from fastapi import Request, Response
from fastapi.responses import StreamingResponse

from service.core.formats.csv_text import csv_chunks
from service.core.formats.geojson_text import geojson_chunks
from service.core.formats.ndjson_text import closed_ndjson_chunks, ndjson_chunks
from service.core.formats.negotiate import Format, is_open
from service.core.formats.parquet_file import parquet_chunks
from service.core.formats.table import FlatRow, Table
from service.core.formats.terms import Terms, terms_of
from service.core.formats.xlsx_book import xlsx_chunks
from service.core.links import absolute

Batches = Iterable[Sequence[FlatRow]]
Writer = Callable[[Table, Batches, Terms], Iterator[bytes]]

PAGE_WRITERS: dict[Format, Writer] = {
    Format.GEOJSON: geojson_chunks,
    Format.CSV: csv_chunks,
    Format.NDJSON: ndjson_chunks,
    Format.XLSX: xlsx_chunks,
    Format.PARQUET: parquet_chunks,
}
WHOLE_WRITERS: dict[Format, Writer] = {
    Format.CSV: csv_chunks,
    Format.NDJSON: closed_ndjson_chunks,
    Format.PARQUET: parquet_chunks,
}


def page_as_file(
    request: Request,
    table: Table,
    rows: Sequence[FlatRow],
    wanted: Format,
    next_page: str | None,
) -> Response:
    """Return one page; its next one, its terms and its dictionary are told in the ``Link`` header."""
    headers = _headers(request, table, wanted, next_page)
    content = b"".join(PAGE_WRITERS[wanted](table, [rows], terms_of(request.app.state.settings)))
    return Response(content, media_type=wanted.media_type, headers=headers)


def whole_as_file(
    request: Request, table: Table, batches: Batches, wanted: Format, rows: int | None
) -> Response:
    """Return the whole list as it is made, in flat memory; ``rows`` is how many there are, where counted."""
    headers = _headers(request, table, wanted, None)
    if rows is not None:
        headers["Content-Rows"] = str(rows)
    chunks = WHOLE_WRITERS[wanted](table, batches, terms_of(request.app.state.settings))
    return StreamingResponse(chunks, media_type=wanted.media_type, headers=headers)


FILE_SCHEMAS: dict[Format, dict[str, Any]] = {
    Format.GEOJSON: {"type": "object"},
    Format.CSV: {"type": "string"},
    Format.NDJSON: {"type": "string"},
    Format.XLSX: {"type": "string", "format": "binary"},
    Format.PARQUET: {"type": "string", "format": "binary"},
}


def described(formats: Iterable[Format]) -> dict[int | str, dict[str, Any]]:
    """Return what the API's description says of an answer in these formats."""
    content = {kind.media_type: {"schema": FILE_SCHEMAS[kind]} for kind in formats}
    return {200: {"description": "The rows, in the format asked for.", "content": content}}


def in_same_format(request: Request, link: str | None, wanted: Format, f: Format | None) -> str | None:
    """Return a link that leads to the same format, also where only ``Accept`` has named it."""
    if link is None or not is_open(request, f) or wanted is Format.JSON:
        return link
    return f"{link}&f={wanted.value}"


def _headers(request: Request, table: Table, wanted: Format, next_page: str | None) -> dict[str, str]:
    terms = terms_of(request.app.state.settings)
    links = [(next_page, "next"), (terms.licence, "license")]
    links += [(absolute(request, f"/v1/schema/{table.name}.json"), "describedby")]
    headers = {"Link": ", ".join(f'<{address}>; rel="{rel}"' for address, rel in links if address)}
    if wanted is not Format.GEOJSON:
        headers["Content-Disposition"] = f'attachment; filename="{quote(table.name)}.{wanted.value}"'
    return headers
