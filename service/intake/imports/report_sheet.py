"""The report as the file that was sent, each row where it stood, with what is said of it in three columns.

Corrected there, it can be sent again as it is: the three columns are read by no mapping.
"""

import csv
import math
import re
from collections.abc import Iterator, Sequence
from datetime import date, datetime, time
from io import TextIOWrapper
from pathlib import Path
from typing import Any

from xlsxwriter import Workbook
from xlsxwriter.worksheet import Worksheet

from service.core.formats.csv_text import FORMULA_BEGINS, GUARD
from service.intake.imports.places import split, told_plainly
from service.intake.imports.said import Said, said_from
from service.intake.imports.shelf.queries import Shelf, ToldRow
from service.intake.imports.source import Source
from service.intake.mapping.cell_problem import CellProblem
from service.intake.sheets.cell import Cell, Grid, Row, Value

ADDED = ("fate", "what is wrong", "what to do")
PLAIN_NUMBER = re.compile(r"[+-]?\d[\d.,]*(e[+-]?\d+)?", re.IGNORECASE)
LONGEST_CELL = 32_767  # letters that a cell of a workbook holds
WIDTH = 40
FORMS = {date: "yyyy-mm-dd", datetime: "yyyy-mm-dd hh:mm:ss", time: "hh:mm:ss"}
Line = tuple[int, list[Value]]


def write_csv_report(source: Source, shelf: Shelf, target: Path) -> None:
    """Write the report as text; it begins with a mark by which programs know its letters (UTF-8)."""
    with target.open("wb") as file, TextIOWrapper(file, "utf-8-sig", errors="replace", newline="") as text:
        lines = csv.writer(text, delimiter=source.separator, lineterminator="\r\n")
        for _, rows in _sheets(source, shelf):
            written = 0
            for number, values in rows:
                text.write("\r\n" * (number - written - 1))  # each row keeps its number
                lines.writerow([_guarded(_as_text(value)) for value in values])
                written = number


def write_xlsx_report(source: Source, shelf: Shelf, target: Path) -> None:
    """Write the report as a workbook."""
    with Workbook(str(target), {"constant_memory": True}) as book:
        bold = book.add_format({"bold": True})
        formats = {kind: book.add_format({"num_format": form}) for kind, form in FORMS.items()}
        for name, rows in _sheets(source, shelf):
            sheet = book.add_worksheet(name or "rows")
            sheet.freeze_panes(1, 0)
            for place, (number, values) in enumerate(rows):
                if place == 0:
                    sheet.set_column(len(values) - len(ADDED) + 1, len(values) - 1, WIDTH)
                for column, value in enumerate(values):
                    form = formats.get(type(value)) if place else bold
                    _write(sheet, number - 1, column, value, form)


def _sheets(source: Source, shelf: Shelf) -> Iterator[tuple[str, Iterator[Line]]]:
    """Give each sheet by its name, to be used up before the next."""
    told_rows = shelf.rows()
    for grid in source.grids():
        yield grid.sheet, _lines(grid, told_rows, source.sheets)


def _lines(grid: Grid, told_rows: Iterator[ToldRow], sheets: Sequence[str]) -> Iterator[Line]:
    """Give the head row and the rows below it with their numbers, what is said of each at the end."""
    names = [cell.text for cell in grid.head.cells]
    kept = [place for place, name in enumerate(names) if name not in ADDED]
    yield max(grid.head.number, 1), [*_values(grid.head, kept), *ADDED]
    for row in grid.rows:
        told = next(told_rows)
        said = said_from(told_plainly(told.said, sheets))
        yield split(row.number)[1], [*_values(row, kept), told.fate, *_words(said)]


def _values(row: Row, places: Sequence[int]) -> list[Value]:
    return [_value(row.cells[place]) if place < len(row.cells) else None for place in places]


def _value(cell: Cell) -> Value:
    return cell.text if cell.fault else cell.value


def _words(said: Said) -> tuple[str, str]:
    return "\n".join(map(in_words, [*said.problems, *said.remarks])), said.advice


def in_words(problem: CellProblem) -> str:
    """Return what is said of a cell, in one line."""
    """Return what is said of a cell, in one line."""
    return ": ".join(part for part in (problem.column, problem.value, problem.reason) if part)


def _as_text(value: Value) -> str:
    return "" if value is None else str(value)


def _guarded(text: str) -> str:
    """Return text that no spreadsheet takes for a formula; a number keeps its sign."""
    is_formula = text.startswith(FORMULA_BEGINS) and not PLAIN_NUMBER.fullmatch(text)
    return GUARD + text if is_formula else text


def _write(sheet: Worksheet, row: int, place: int, value: Value, form: Any) -> None:
    if isinstance(value, date | time):  # a datetime is a date too
        sheet.write_datetime(row, place, value, form)
    elif isinstance(value, bool):
        sheet.write_boolean(row, place, value, form)
    elif isinstance(value, int | float) and math.isfinite(value):
        sheet.write_number(row, place, value, form)
    elif value is not None:  # as it is: no formula, number or link, whatever it looks like
        sheet.write_string(row, place, str(value)[:LONGEST_CELL], form)
