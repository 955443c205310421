"""What stands in one cell of a workbook."""

import math

from service.intake.sheets.workbook.book import Book
from service.intake.sheets.workbook.frames import FAULT, Item
from service.intake.sheets.workbook.number_form import AS_IT_IS, NumberForm, Shows
from service.intake.sheets.workbook.parts import Element, local
from service.intake.sheets.workbook.serial import dated, written_date
from service.intake.sheets.workbook.shared_texts import text_of, unescaped

FORMULA = "is worked out by a formula, not what was written down; copy the cell and paste it back as a value"
DAMAGED = "cannot be told: the workbook is damaged here; type the cell anew and save it"
TOO_LONG = "is longer than a cell can be; shorten it"
# A workbook with a plain true in it has one of these instead once LibreOffice Calc 7.4 has saved it (seen).
PLAIN_BOOLEANS = {"TRUE()": True, "FALSE()": False}
LONGEST_TEXT = 32_767  # letters that a cell of a workbook holds
EXACT_WHOLE = 1e15


class CellItems:
    """Reads the cells of one workbook."""

    def __init__(self, book: Book) -> None:
        self._texts = book.texts
        self._forms = book.forms
        self._from_1904 = book.from_1904

    def item(self, cell: Element) -> Item:
        """Return what stands in a cell; ``None`` where nothing does."""
        if len(cell) == 1 and cell[0].tag.endswith("}v"):  # nearly all
            written = cell[0].text
            return self._plain(cell, written) if written else None
        written = formula = None
        for child in cell:
            name = local(child.tag)
            if name == "v":
                written = child.text
            elif name == "is":
                return _checked(text_of(child))
            elif name == "f":
                formula = child
        if formula is not None:
            if (plain := PLAIN_BOOLEANS.get(formula.text or "")) is not None:
                return plain
            result = self._plain(cell, written) if written else None
            return [FAULT, FORMULA, shown(result)]
        return self._plain(cell, written) if written else None

    def _plain(self, cell: Element, written: str) -> Item:
        kind = cell.get("t", "n")
        try:
            if kind == "n":
                return self._number(written, cell.get("s"))
            if kind == "s":
                return _checked(self._texts.text(int(written)))
            if kind == "d":
                return written_date(written, self._form(cell.get("s")))
        except (ValueError, IndexError, OverflowError):
            return [FAULT, DAMAGED, written[:LONGEST_TEXT]]
        if kind == "str":
            return _checked(unescaped(written))
        if kind == "b":
            return written.strip() in ("1", "true")
        if kind == "e":
            return [
                FAULT,
                f"holds the error {written[:20]}; write what was measured, or leave it empty",
                written[:20],
            ]
        return [FAULT, DAMAGED, written[:LONGEST_TEXT]]

    def _number(self, written: str, style: str | None) -> Item:
        number: int | float
        if written.isdigit() and len(written) < 16:
            number = int(written)
        else:
            number = float(written)
            if not math.isfinite(number) or "_" in written:
                raise ValueError(written)
            if number.is_integer() and abs(number) < EXACT_WHOLE:
                number = int(number)
        if style is None or style == "0":
            return number
        form = self._form(style)
        return number if form is AS_IT_IS else self._formed(number, form)

    def _form(self, style: str | None) -> NumberForm:
        place = int(style) if style else 0
        return self._forms[place] if 0 <= place < len(self._forms) else AS_IT_IS

    def _formed(self, number: float, form: NumberForm) -> Item:
        if form.shows is Shows.ZEROS:
            return f"{number:0{form.digits}}" if isinstance(number, int) and number >= 0 else number
        if form.shows is Shows.PERCENT:
            return f"{number * 100:.12g}%"
        return dated(number, form, from_1904=self._from_1904)


def _checked(text: str) -> Item:
    if len(text) > LONGEST_TEXT:
        return [FAULT, TOO_LONG, text[:80]]
    return text or None


def shown(item: Item) -> str:
    """Return what a person sees in the cell."""
    if item is None:
        return ""
    return str(item[-1]) if isinstance(item, list) else str(item)
