"""Rows as CSV: a header line, UTF-8, no byte order mark, an empty cell where there is nothing.

Reference
---------
RFC 4180.
"""

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from service.core.formats.table import FlatRow, Kind, Table
from service.core.formats.terms import Terms

# What a spreadsheet takes for the beginning of a formula, or passes over to find one.
FORMULA_BEGINS = ("=", "+", "-", "@", "\t", "\r")
GUARD = "'"


def csv_chunks(table: Table, batches: Iterable[Sequence[FlatRow]], terms: Terms) -> Iterator[bytes]:
    """Give the header, then each batch of rows; the terms travel beside it, as CSV has no place for them."""
    columns = [(column.name, column.kind is Kind.TEXT) for column in table.columns]
    text = io.StringIO(newline="")
    lines = csv.writer(text, lineterminator="\r\n")
    lines.writerow(table.names)
    for rows in batches:
        lines.writerows(
            [_guarded(row[name]) if guard else row[name] for name, guard in columns] for row in rows
        )
        yield text.getvalue().encode()
        text.seek(0)
        text.truncate()
    yield text.getvalue().encode()


def _guarded(text: Any) -> Any:
    """Return text that no spreadsheet takes for a formula. Numbers are never touched, nor their minus."""
    return GUARD + text if isinstance(text, str) and text.startswith(FORMULA_BEGINS) else text
