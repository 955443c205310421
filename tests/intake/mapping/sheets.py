"""Small sheets and mappings for the tests of how they are read."""

from collections.abc import Iterable
from typing import Any

from service.intake.mapping.load_mapping import read_mapping
from service.intake.mapping.part import Part, VisitKey
from service.intake.mapping.read_row import ReadRow
from service.intake.mapping.read_rows import read_rows
from service.intake.mapping.schemas import Mapping
from service.intake.sheets.cell import Cell, Grid, Row, Value

PLACES = {
    "mill-creek-1": ("Mill Creek at the bridge", "America/New_York"),
    "mill-creek-2": ("Mill Creek below the weir", "America/New_York"),
    "oak-run": ("Oak Run", "America/Chicago"),
    "oak-run-2": ("Oak  run", "America/Chicago"),
    "elm-run": ("Elm Run", "America/Chicago"),
}
WHEN = {"date": "Day", "time": "Clock", "zone": "site"}
PH = {"column": "pH", "parameter": "ph"}


def mapping_of(**parts: Any) -> Mapping:
    """Return a mapping of a small sheet; parts that are named replace or add to those of the sheet."""
    content: dict[str, Any] = {"site": {"column": "Site"}, "when": WHEN}
    if not {"readings", "long", "catch"} & set(parts):
        content["readings"] = [PH]
    return read_mapping(content | parts)


def grid_of(head: Iterable[str], *rows: Iterable[Value | Cell], first: int = 2) -> Grid:
    """Return a sheet of cells; its rows are numbered from ``first``."""
    return Grid(
        "", Row(1, _cells(head)), iter([Row(first + place, _cells(row)) for place, row in enumerate(rows)])
    )


def _cells(values: Iterable[Value | Cell]) -> tuple[Cell, ...]:
    return tuple(
        value if isinstance(value, Cell) else Cell(None if value == "" else value) for value in values
    )


def read_all(mapping: Mapping, head: str, *rows: Iterable[Value | Cell]) -> list[ReadRow]:
    """Return the rows of a sheet whose head row is given as one text, parted by bars."""
    return list(read_rows(mapping, grid_of(head.split("|"), *rows), PLACES))


def read_one(mapping: Mapping, head: str, *cells: Value | Cell) -> ReadRow:
    """Return the only row of a sheet."""
    (row,) = read_all(mapping, head, cells)
    return row


def taken(row: ReadRow) -> Part:
    """Return what a row adds, which must not be refused or left out."""
    assert row.part is not None, row
    return row.part


def key_of(row: ReadRow) -> VisitKey:
    """Return the visit of a row, which must not be refused or left out."""
    assert row.key is not None, row
    return row.key


def said(row: ReadRow) -> list[tuple[str, str, str]]:
    """Return column, value and reason of everything that is wrong with a row."""
    return [(problem.column, problem.value, problem.reason) for problem in row.problems]


def refused(row: ReadRow) -> tuple[str, str, str]:
    """Return the only thing that is wrong with a row."""
    assert row.part is None
    (only,) = said(row)
    return only
