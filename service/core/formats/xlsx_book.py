"""Rows as a workbook: real dates, codes as text, and a second sheet that says what each column is.

Neither its rows nor the finished book are held in memory: both lie in temporary files until they are sent.
"""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date, datetime
from tempfile import SpooledTemporaryFile
from typing import Any

from xlsxwriter import Workbook
from xlsxwriter.worksheet import Worksheet

from service.core.formats.table import FlatRow, Table
from service.core.formats.terms import Terms

SAME_EACH_TIME = datetime(2000, 1, 1)  # equal rows make equal bytes, so that a reader's copy can be known
HELD_IN_MEMORY_BYTES = 1 << 20
CHUNK_BYTES = 1 << 17
DICTIONARY = "dictionary"
DICTIONARY_HEAD = ("column", "unit", "kind", "description")


def xlsx_chunks(table: Table, batches: Iterable[Sequence[FlatRow]], terms: Terms) -> Iterator[bytes]:
    """Give the whole workbook: the rows, and the dictionary with the terms above it."""
    with SpooledTemporaryFile(max_size=HELD_IN_MEMORY_BYTES) as target:
        with Workbook(target, {"constant_memory": True}) as book:
            said = {"title": table.title, "comments": terms.attribution, "created": SAME_EACH_TIME}
            book.set_properties(said)
            bold, day = book.add_format({"bold": True}), book.add_format({"num_format": "yyyy-mm-dd"})
            sheet = book.add_worksheet(table.name)
            sheet.freeze_panes(1, 0)
            sheet.write_row(0, 0, table.names, bold)
            number = 0
            for rows in batches:
                for row in rows:
                    number += 1
                    _write_row(sheet, number, [row[name] for name in table.names], day)
            _write_dictionary(book.add_worksheet(DICTIONARY), table, terms, bold)
        target.seek(0)
        while chunk := target.read(CHUNK_BYTES):
            yield chunk


def _write_row(sheet: Worksheet, number: int, cells: Sequence[Any], day: Any) -> None:
    for place, cell in enumerate(cells):
        if isinstance(cell, date):
            sheet.write_datetime(number, place, cell, day)
        elif isinstance(cell, str):  # as it is: no formula, number or link, whatever it looks like
            sheet.write_string(number, place, cell)
        elif cell is not None:
            sheet.write_number(number, place, cell)


def _write_dictionary(sheet: Worksheet, table: Table, terms: Terms, bold: Any) -> None:
    sheet.write_row(0, 0, DICTIONARY_HEAD, bold)
    lines = [(column.name, column.unit, column.kind.value, column.text) for column in table.columns]
    lines += [("", "", "", "")]
    lines += [("licence", "", "", terms.licence), ("attribution", "", "", terms.attribution)]
    for number, line in enumerate(lines, start=1):
        for place, text in enumerate(line):
            sheet.write_string(number, place, text)
