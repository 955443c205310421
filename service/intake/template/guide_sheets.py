"""The two sheets of our template that are read and not filled: what each column means, and what to mind."""

from collections.abc import Mapping, Sequence
from math import ceil
from typing import Any

from xlsxwriter import Workbook
from xlsxwriter.worksheet import Worksheet

from service.intake.field_order import Sheet, cautions, choices
from service.intake.template.columns import Choice, TemplateColumn
from service.reference.catalogue import Catalogue

HEAD = ("sheet", "column", "unit", "what to write", "between which limits", "words to choose from")
WIDTHS = (9, 30, 14, 62, 44, 34)  # in letters
CAUTION_WIDTHS = (14, 110)
LINE_POINTS = 13.5
LONGEST_LIST = 12  # words; longer lists are only to be chosen from
BELOW_AND_ABOVE = (
    (
        "no colour, no bubble of the scale, nothing seen",
        "write < and the smallest value of the kit: < 5. Not 0.",
    ),
    ("beyond the end of the scale, still clear in the full tube", "write > and the largest value: > 60"),
    ("not measured", "leave the cell empty; do not write 0, a dash or n.a."),
    ("two measurements of the same thing", "write a row for each with another team code, or their middle"),
    (
        "a gauging, two bottles of oxygen, a catch in which only some groups were counted",
        "hand that visit in on the web form of its site: this workbook has no columns for it",
    ),
    ("decimal sign", "as your program has it: 7.5 or 7,5; nothing between thousands: 1250"),
)


def write_dictionary(
    book: Workbook,
    page: Worksheet,
    sheets: Mapping[Sheet, Sequence[TemplateColumn]],
    choice: Choice,
    catalogue: Catalogue,
) -> None:
    """Write what each column holds, how to write what a kit cannot show, and which sites there are."""
    words = choices(catalogue)
    table = _Tables(book, page, WIDTHS)
    table.add(HEAD, [_line(sheet, column, words) for sheet, columns in sheets.items() for column in columns])
    table.add(("", "when", "", "then"), [("", when, "", then) for when, then in BELOW_AND_ABOVE])
    table.add(("", "site", "", "name"), [("", code, "", name) for code, name in choice.sites])
    page.freeze_panes(1, 0)


def write_cautions(book: Workbook, page: Worksheet) -> None:
    """Write what to mind before and at the water."""
    _Tables(book, page, CAUTION_WIDTHS).add(("topic", "before you go, and at the water"), cautions())


def _line(sheet: Sheet, column: TemplateColumn, words: Mapping[str, Sequence[str]]) -> tuple[str, ...]:
    listed = words.get(column.choices, ())
    shown = ", ".join(listed) if len(listed) <= LONGEST_LIST else "the list of the cell"
    limits = column.span.words if column.span else ""
    return (sheet.value, column.head, column.unit, column.write, limits, shown)


class _Tables:
    """Tables of text below each other. Rows are made as high as their longest cell needs."""

    def __init__(self, book: Workbook, page: Worksheet, widths: Sequence[int]) -> None:
        self._bold = book.add_format({"bold": True, "bg_color": "#E4EEF4", "bottom": 1, "valign": "top"})
        self._plain = book.add_format({"text_wrap": True, "valign": "top"})
        self._page, self._widths, self._row = page, widths, 0
        for place, width in enumerate(widths):
            page.set_column(place, place, width)

    def add(self, head: Sequence[str], lines: Sequence[Sequence[str]]) -> None:
        """Write a table below those before it."""
        for number, line in enumerate((head, *lines)):
            self._write(line, self._plain if number else self._bold)
        self._row += 1

    def _write(self, line: Sequence[str], look: Any) -> None:
        high = max(ceil(len(text) * 1.1 / width) for text, width in zip(line, self._widths, strict=False))
        self._page.set_row(self._row, LINE_POINTS * max(high, 1) + 2)
        for place, text in enumerate(line):
            self._page.write_string(self._row, place, text, look)
        self._row += 1
