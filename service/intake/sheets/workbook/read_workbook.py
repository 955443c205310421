"""A workbook as a grid: the head row of one sheet, and the rows below it.

It is read by parts of our own, for a library would cost a school files or facts. Of 73 workbooks of many
makes that open here, openpyxl 3.1.5 (read-only) refuses 18 whole, for an odd fill, margin or number or for
the strict form, and takes four times as long; python-calamine 0.9 tells no formula from a typed number, nor
02030105 from 2030105.
"""

from collections import deque
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from service.intake.mapping.bodies.file import FileBody
from service.intake.sheets.cell import Grid, Row, Unreadable
from service.intake.sheets.workbook.frames import CellMaker
from service.intake.sheets.workbook.told_by_child import told_by_child


@contextmanager
def read_workbook(path: Path, how: FileBody) -> Iterator[Grid]:
    """Give one sheet of a workbook as a grid, as long as the block lasts.

    Raises
    ------
    Unreadable
        At once, or while rows are read.
    """
    with told_by_child(path, how.sheet, None) as frames:
        sheet = next(frames)[1]
        rows = _rows(frames)
        head = next((row for row in rows if row.number >= how.head_row), None)
        if head is None or head.number > how.head_row:
            raise Unreadable(
                f'Row {how.head_row} of the sheet "{sheet[:80]}" is to name the columns, but nothing '
                "is written there. Write the names into it, or say in the mapping which row has them "
                "(head_row)."
            )
        yield Grid(sheet, head, rows)


@contextmanager
def all_sheets(path: Path, most_rows: int) -> Iterator[Iterator[tuple[str, bool, Iterator[Row]]]]:
    """Give each sheet of a workbook: its name, whether it is hidden, and its first rows.

    The rows of a sheet must be used before the next is asked for.
    """
    with told_by_child(path, None, most_rows) as frames:
        yield _sheets(frames)


def _sheets(frames: Iterator[list[Any]]) -> Iterator[tuple[str, bool, Iterator[Row]]]:
    for _, name, is_hidden in frames:
        rows = _rows(frames)
        yield name, is_hidden, rows
        deque(rows, maxlen=0)


def _rows(frames: Iterator[list[Any]]) -> Iterator[Row]:
    """Give the rows that the frames hold, to the empty frame that ends a sheet."""
    maker = CellMaker()
    for _, numbered in frames:
        if not numbered:
            return
        for number, items in numbered:
            yield Row(number, maker.cells(items))
