"""Rows as CSV: a header line, UTF-8, no byte order mark, an empty cell where there is nothing.

Reference
---------
RFC 4180.
"""

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from operator import itemgetter
from typing import Any

from service.core.formats.table import FlatRow, Kind, Table
from service.core.formats.terms import Terms

# What a spreadsheet takes for the beginning of a formula, or passes over to find one.
FORMULA_BEGINS = ("=", "+", "-", "@", "\t", "\r")
GUARD = "'"


def csv_chunks(table: Table, batches: Iterable[Sequence[FlatRow]], terms: Terms) -> Iterator[bytes]:
    """Give the header, then each batch of rows; the terms travel beside it, as CSV has no place for them."""
    cells_of = itemgetter(*table.names)
    texts = [place for place, column in enumerate(table.columns) if column.kind is Kind.TEXT]
    text = io.StringIO(newline="")
    lines = csv.writer(text, lineterminator="\r\n")
    lines.writerow(table.names)
    yield _taken(text)
    for rows in filter(None, batches):
        columns = list(zip(*map(cells_of, rows), strict=True))
        for place in texts:
            columns[place] = _guarded(columns[place])
        lines.writerows(zip(*columns, strict=True))
        yield _taken(text)


def _taken(text: io.StringIO) -> bytes:
    """Return what was written since the last time."""
    written = text.getvalue().encode()
    text.seek(0)
    text.truncate()
    return written


def _guarded(column: tuple[Any, ...]) -> tuple[Any, ...]:
    """Return texts of which no spreadsheet takes one for a formula. Numbers are never guarded.

    A column holds the same few texts many times, so each is looked at once.
    """
    guarded = {
        text: GUARD + text
        for text in set(column)
        if isinstance(text, str) and text.startswith(FORMULA_BEGINS)
    }
    return tuple(guarded.get(text, text) for text in column) if guarded else column
