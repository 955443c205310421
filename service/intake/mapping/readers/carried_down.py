"""Columns that are written once for several rows, as people leave cells empty below the first."""

from dataclasses import replace

from service.intake.mapping.readers.head import Bound
from service.intake.sheets.cell import Cell, Row


class CarriedDown:
    """Fills the empty cells of such columns with the last cell above them."""

    def __init__(self, columns: list[Bound]) -> None:
        self._columns = columns
        self._last: dict[int, Cell] = {}

    def fill(self, row: Row) -> Row:
        """Return the row with its empty cells filled; rows are given in their order."""
        if not self._columns:
            return row
        cells = list(row.cells)
        for bound in self._columns:
            cells += [Cell()] * (bound.index + 1 - len(cells))
            if cells[bound.index].text or cells[bound.index].fault:
                self._last[bound.index] = cells[bound.index]
            elif bound.index in self._last:
                cells[bound.index] = self._last[bound.index]
        return replace(row, cells=tuple(cells))
