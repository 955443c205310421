"""One page of a list, or the whole of it, as a file.

A whole list goes out as it is made where it is long: the first row comes at once, and neither memory nor a
temporary file grows with it. A shorter one is written first. Then its length, its number of rows and its
bytes are known before it goes out, so that a reader may take parts of it.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from tempfile import SpooledTemporaryFile
from typing import IO, Any
from urllib.parse import quote

from fastapi import Request, Response
from fastapi.responses import StreamingResponse

from service.core.door.keeping import TAG
from service.core.etag import Unchanged, is_unchanged, tag_of_bytes
from service.core.formats.csv_text import csv_chunks
from service.core.formats.geojson_text import geojson_chunks
from service.core.formats.ndjson_text import closed_ndjson_chunks, ndjson_chunks
from service.core.formats.negotiate import Format, is_open
from service.core.formats.table import FlatRow, Table
from service.core.formats.terms import Terms, terms_of
from service.core.formats.xlsx_book import xlsx_chunks
from service.core.links import absolute

Batches = Iterable[Sequence[FlatRow]]
Writer = Callable[[Table, Batches, Terms], Iterator[bytes]]
ROWS = "Content-Rows"  # the field that tells how many rows a whole list has
HELD_IN_MEMORY_BYTES = 1 << 20  # what is larger lies in a temporary file that has no name
CHUNK_BYTES = 1 << 17


def parquet_chunks(table: Table, batches: Batches, terms: Terms) -> Iterator[bytes]:
    """Give a Parquet file in pieces; what writes it is loaded when one is wanted, as it takes much memory."""
    from service.core.formats import parquet_file  # noqa: PLC0415

    return parquet_file.parquet_chunks(table, batches, terms)


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
    Format.XLSX: xlsx_chunks,
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
    if not hasattr(request.state, TAG):
        _tag_by_content(request, content)
    return Response(content, media_type=wanted.media_type, headers=headers)


def written_file(request: Request, table: Table, batches: Batches, wanted: Format) -> Response:
    """Return the whole list when it is all written, in flat memory, with its length and number of rows."""
    count = _Counted(batches)
    spool = SpooledTemporaryFile(max_size=HELD_IN_MEMORY_BYTES)  # noqa: SIM115  closed by who reads it out
    for chunk in WHOLE_WRITERS[wanted](table, count, terms_of(request.app.state.settings)):
        spool.write(chunk)
    headers = _headers(request, table, wanted, None)
    headers |= {"Content-Length": str(spool.tell()), ROWS: str(count.rows)}
    spool.seek(0)
    return StreamingResponse(_read_out(spool), media_type=wanted.media_type, headers=headers)


def streamed_file(request: Request, table: Table, batches: Batches, wanted: Format, rows: int) -> Response:
    """Return the whole list as it is made, in flat memory.

    CSV alone has no end that tells that it is whole; ``rows``, how many there are, tells it. Rows may change
    meanwhile, so that the tag is a weak one.
    """
    headers = _headers(request, table, wanted, None)
    if wanted is Format.CSV:
        headers[ROWS] = str(rows)
    setattr(request.state, TAG, f"W/{getattr(request.state, TAG)}")
    chunks = WHOLE_WRITERS[wanted](table, batches, terms_of(request.app.state.settings))
    return StreamingResponse(chunks, media_type=wanted.media_type, headers=headers)


def _tag_by_content(request: Request, content: bytes) -> None:
    """Give a file that nothing stored names the tag of its bytes, or stop where the reader has these."""
    tag = tag_of_bytes(content)
    if is_unchanged(request.headers.get("if-none-match"), tag):
        raise Unchanged(tag)
    setattr(request.state, TAG, tag)


class _Counted:
    """Batches of rows, and how many have gone by."""

    def __init__(self, batches: Batches) -> None:
        self._batches = batches
        self.rows = 0

    def __iter__(self) -> Iterator[Sequence[FlatRow]]:
        for rows in self._batches:
            self.rows += len(rows)
            yield rows


def _read_out(spool: IO[bytes]) -> Iterator[bytes]:
    with spool:
        while chunk := spool.read(CHUNK_BYTES):
            yield chunk


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
