"""Rows as newline-delimited JSON: one object a line, every key in every line."""

import json
from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from typing import Any

from service.core.formats.table import FlatRow, Table
from service.core.formats.terms import Terms


def ndjson_chunks(table: Table, batches: Iterable[Sequence[FlatRow]], terms: Terms) -> Iterator[bytes]:
    """Give each batch of rows."""
    for rows in batches:
        yield "".join(_line(row) for row in rows).encode()


def closed_ndjson_chunks(table: Table, batches: Iterable[Sequence[FlatRow]], terms: Terms) -> Iterator[bytes]:
    """Give each batch of rows, then a last line that tells how many they were and what their terms are."""
    count = 0
    for rows in batches:
        count += len(rows)
        yield "".join(_line(row) for row in rows).encode()
    end = {"complete": True, "rows": count, "licence": terms.licence, "attribution": terms.attribution}
    yield _line(end).encode()


def _line(row: FlatRow) -> str:
    return json.dumps(row, ensure_ascii=False, separators=(",", ":"), default=_as_text) + "\n"


def _as_text(value: Any) -> str:
    if isinstance(value, date):
        return value.isoformat()
    raise TypeError(f"{type(value).__name__} has no place in a flat row")
