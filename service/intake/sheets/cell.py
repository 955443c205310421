"""What a file holds, whichever program wrote it: rows of cells, each with what was written and where."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time

Value = str | float | int | bool | date | datetime | time | None


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell. ``value`` is what the file says it is: text in a CSV, and in a workbook also a real number,
    date or time; ``None`` where nothing is written.

    ``fault`` says in plain words why a cell must not be used although something is in it (a formula, an
    error such as ``#N/A``); it is empty for a sound cell.
    """

    value: Value = None
    fault: str = ""

    @property
    def text(self) -> str:
        """What is written, as a person sees it; no blanks around it."""
        if self.value is None:
            return ""
        return self.value.strip() if isinstance(self.value, str) else str(self.value)


@dataclass(frozen=True, slots=True)
class Row:
    """One row, with the number that a spreadsheet shows beside it (the first is 1)."""

    number: int
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class Grid:
    """One sheet: the names in its head row, and the rows below it, read as they are asked for.

    ``sheet`` is its name, empty for a file that is one sheet. Rows that hold nothing at all are left out.
    """

    sheet: str
    head: Row
    rows: Iterator[Row]


class Unreadable(Exception):
    """A file that cannot be read as a whole. ``message`` says why and what to do, for a teacher."""

    def __init__(self, message: str) -> None:
        super().__init__(message)
        self.message = message
