"""What the child that reads a workbook tells the service: pieces of JSON, each behind its length."""

from collections.abc import Sequence
from datetime import date, datetime, time
from typing import Any

from service.intake.sheets.cell import Cell

LENGTH_BYTES = 4
# A frame is a list: its kind, and what belongs to it.
SHEET, ROWS, REFUSED, END = "sheet", "rows", "refused", "end"
# A cell is a plain value, or a list: one of these, and a text.
DATE, TIME, MOMENT, FAULT = "date", "time", "moment", "fault"

Item = str | int | float | bool | None | list[Any]
EMPTY = Cell()
MOST_KEPT = 20_000
LONGEST_KEPT = 40


class CellMaker:
    """Makes cells of the items that come through the pipe; short texts and numbers are made once."""

    def __init__(self) -> None:
        self._kept: dict[tuple[type, object], Cell] = {}

    def cells(self, items: Sequence[Item]) -> tuple[Cell, ...]:
        """Return the cells of one row."""
        kept = self._kept
        return tuple(
            EMPTY
            if item is None
            else kept.get((type(item), item)) or self._make(item)
            if type(item) is not list
            else _listed(item)
            for item in items
        )

    def _make(self, item: Any) -> Cell:
        cell = Cell(item)
        if len(self._kept) < MOST_KEPT and (type(item) is not str or len(item) <= LONGEST_KEPT):
            self._kept[type(item), item] = cell
        return cell


def _listed(item: list[Any]) -> Cell:
    kind, text = item[0], str(item[1])
    if kind == DATE:
        return Cell(date.fromisoformat(text))
    if kind == TIME:
        return Cell(time.fromisoformat(text))
    if kind == MOMENT:
        return Cell(datetime.fromisoformat(text))
    return Cell(str(item[2]) or None, text)
