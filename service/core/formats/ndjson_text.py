"""Rows as newline-delimited JSON: one object a line, every key in every line."""

from collections.abc import Iterable, Iterator, Sequence

import orjson

from service.core.formats.table import FlatRow, Table
from service.core.formats.terms import Terms


def ndjson_chunks(table: Table, batches: Iterable[Sequence[FlatRow]], terms: Terms) -> Iterator[bytes]:
    """Give each batch of rows."""
    for rows in batches:
        yield b"".join(map(_line, rows))


def closed_ndjson_chunks(table: Table, batches: Iterable[Sequence[FlatRow]], terms: Terms) -> Iterator[bytes]:
    """Give each batch of rows, then a last line that tells how many they were and what their terms are."""
    count = 0
    for rows in batches:
        count += len(rows)
        yield b"".join(map(_line, rows))
    end = {"complete": True, "rows": count, "licence": terms.licence, "attribution": terms.attribution}
    yield _line(end)


def _line(row: FlatRow) -> bytes:
    return orjson.dumps(row, option=orjson.OPT_APPEND_NEWLINE)
