"""The rows of one sheet of a workbook, read in pieces."""

from collections.abc import Iterator

from service.intake.sheets.cell import Unreadable
from service.intake.sheets.limits import MOST_CELLS, MOST_COLUMNS, MOST_ROWS, MOST_TEXT
from service.intake.sheets.workbook.book import Book, SheetPart
from service.intake.sheets.workbook.cell_items import CellItems, shown
from service.intake.sheets.workbook.column_place import column_place
from service.intake.sheets.workbook.frames import FAULT, Item
from service.intake.sheets.workbook.merged_cells import MergedCells
from service.intake.sheets.workbook.parts import Element, finished_children, local

FAR_OUT = (
    f"cannot be told: something stands right of column {MOST_COLUMNS:,}; delete what does not belong there"
)
DIGITS = "0123456789"

NumberedItems = tuple[int, list[Item]]


def sheet_rows(book: Book, sheet: SheetPart) -> Iterator[NumberedItems]:
    """Give the rows of a sheet that hold something, each with its number.

    What the sheet says about its own size is not believed. Hidden rows are read as the others are.

    Raises
    ------
    Unreadable
        It holds more than is read.
    """
    rows = _Rows(book, MergedCells(book.archive, sheet.part))
    for element in finished_children(book.archive, sheet.part, "sheetData"):
        if local(element.tag) == "row" and rows.read(element):
            yield rows.number, rows.with_faults()


class _Rows:
    """Reads one row after the other; ``number`` is that of the last one."""

    def __init__(self, book: Book, merged: MergedCells) -> None:
        self.number = 0
        self._cells = CellItems(book)
        self._merged = merged
        self._places: dict[str, int] = {}
        self._items: list[Item] = []
        self._far_out = False
        self._count = self._letters = 0

    def read(self, row: Element) -> list[Item]:
        """Return what stands in a row; nothing at all where nothing is written."""
        self._next_number(row.get("r"))
        items: list[Item] = []
        self._far_out = False
        place = -1
        for cell in row:
            reference = cell.get("r")
            place = self._place(reference) if reference else place + 1
            if not len(cell) or (item := self._cells.item(cell)) is None:
                continue
            if place >= MOST_COLUMNS:
                self._far_out = True
            elif place == len(items):
                items.append(item)
            else:
                items.extend([None] * (place + 1 - len(items)))
                items[place] = item
        self._items = items or ([""] if self._far_out else [])
        self._count_in(items)
        return self._items

    def with_faults(self) -> list[Item]:
        """Return the row that was read last, its cells marked that cannot be used."""
        if self._far_out:
            return [[FAULT, FAR_OUT, shown(item)] for item in self._items]
        return self._merged.marked(self.number, self._items)

    def _next_number(self, written: str | None) -> None:
        number = int(written) if written else self.number + 1
        if not self.number < number <= MOST_ROWS:
            raise Unreadable("The workbook's rows are not in order: it is damaged. Open it and save it anew.")
        self.number = number

    def _place(self, reference: str) -> int:
        letters = reference.rstrip(DIGITS)
        place = self._places.get(letters)
        if place is None:
            if not (letters.isascii() and letters.isupper() and len(letters) <= 3):
                raise Unreadable(
                    "The workbook names a cell that there is not: it is damaged. Open it and save it anew."
                )
            place = self._places[letters] = column_place(letters)
        return place

    def _count_in(self, items: list[Item]) -> None:
        self._count += len(items)
        self._letters += sum(len(item) for item in items if type(item) is str)
        if self._count > MOST_CELLS or self._letters > MOST_TEXT:
            raise Unreadable(
                f"The sheet is too large: at most {MOST_CELLS:,} cells and {MOST_TEXT:,} letters are read. "
                "Cut it into parts."
            )
