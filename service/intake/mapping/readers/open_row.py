"""A row while it is read: what its cells hold, and everything that is wrong with them."""

from collections.abc import Callable, Collection
from typing import TypeVar

from service.intake.mapping.cell_problem import CellProblem, Refused, quoted
from service.intake.mapping.readers.head import Bound
from service.intake.mapping.written.words import plain_word, word_of
from service.intake.sheets.cell import Cell, Row, Value

EMPTY = Cell()
T = TypeVar("T")


class MissingMarks:
    """What stands in a cell that is as good as empty; capitals and blanks make no difference."""

    def __init__(self, marks: Collection[str]) -> None:
        self._marks = frozenset(plain_word(mark) for mark in marks)
        self._longest = max(map(len, self._marks), default=0)

    def include(self, text: str) -> bool:
        """Tell whether a text without blanks around it stands for nothing."""
        return not text or (len(text) <= self._longest and plain_word(text) in self._marks)


class OpenRow:
    """The cells of one row."""

    __slots__ = ("_cells", "_missing", "number", "problems", "remarks")

    def __init__(self, row: Row, missing: MissingMarks) -> None:
        self.number = row.number
        self.problems: dict[CellProblem, int] = {}  # and the place of its column
        self.remarks: list[CellProblem] = []
        self._cells = row.cells
        self._missing = missing

    def cell(self, bound: Bound) -> Cell:
        """Return a cell; an empty one where the row is too short."""
        return self._cells[bound.index] if bound.index < len(self._cells) else EMPTY

    def is_missing(self, bound: Bound) -> bool:
        """Tell whether nothing is written, or only what stands for nothing."""
        cell = self.cell(bound)
        return not cell.fault and (cell.value is None or self._missing.include(word_of(cell.value)))

    def take(self, bound: Bound, read: Callable[[Value], T]) -> T | None:
        """Return what a reader makes of a cell: ``None`` where it is missing or refused, which is noted."""
        cell = self.cell(bound)
        if cell.fault:
            self.refuse(bound, cell.fault)
            return None
        if cell.value is None or self._missing.include(word_of(cell.value)):
            return None
        try:
            return read(cell.value)
        except Refused as refused:
            self.refuse(bound, refused.reason)
            return None

    def refuse(self, bound: Bound | None, reason: str) -> None:
        """Note what is wrong with a cell, or with the whole row; the same is noted once."""
        self.problems[self._said(bound, reason)] = -1 if bound is None else bound.index

    def all_problems(self) -> tuple[CellProblem, ...]:
        """Return everything that is wrong with the row, from left to right."""
        return tuple(sorted(self.problems, key=lambda problem: self.problems[problem]))

    def remark(self, bound: Bound, value: str, reason: str) -> None:
        """Note something about a value of a column that is taken all the same."""
        self.remarks.append(CellProblem(bound.label, quoted(value), reason))

    def _said(self, bound: Bound | None, reason: str) -> CellProblem:
        if bound is None:
            return CellProblem("", "", reason)
        return CellProblem(bound.label, quoted(word_of(self.cell(bound).value)), reason)
