"""Our template as a workbook: lists to choose from, real dates, text for codes; no formula, macro or link."""

import io
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, time
from typing import Any

from xlsxwriter import Workbook
from xlsxwriter.worksheet import Worksheet

from service.core.formats.xlsx_book import SAME_EACH_TIME
from service.intake.field_order import Kind, Sheet, choices
from service.intake.template.cell_rules import cell_rule, head_rule
from service.intake.template.columns import Choice, Counting, TemplateColumn, Value, template_columns
from service.intake.template.guide_sheets import write_cautions, write_dictionary
from service.reference.catalogue import Catalogue

LAST_ROW = 1_000  # rows below the head that have lists and checks; more may be written
PAPERS = {"a4": 9, "letter": 1}  # numbers of the file format
WIDTHS = {Kind.PLACE: 14, Kind.TIME: 11, Kind.CODE: 11, Kind.CHOICE: 13, Kind.TEXT: 46, Kind.NUMBER: 11}
NUMBER_FORMATS = {Kind.PLACE: "@", Kind.CODE: "@", Kind.BOX: "@", Kind.TIME: "hh:mm"}
DAY = "yyyy-mm-dd"
LISTS = "lists"
HEAD_POINTS, HEAD_WIDTH = 78, 15  # room for a reading's name, unit and kit on five lines


@dataclass(frozen=True, slots=True)
class Look:
    """How the file is told apart and printed."""

    title: str
    paper: str = "a4"


def template_workbook(choice: Choice, look: Look, catalogue: Catalogue) -> bytes:
    """Return the workbook; the same choice gives the same bytes."""
    target = io.BytesIO()
    wanted = [Sheet.VISITS] if choice.counting is Counting.NONE else list(Sheet)
    sheets = {sheet: template_columns(sheet, choice, catalogue) for sheet in wanted}
    with Workbook(target, {"in_memory": True}) as book:
        book.set_properties({"title": look.title, "created": SAME_EACH_TIME})
        pages = {sheet: book.add_worksheet(sheet) for sheet in sheets}
        guides = (book.add_worksheet("what to write"), book.add_worksheet("take care"))
        lists = _Lists(book)
        for name, words in (*choices(catalogue).items(), ("site", [code for code, _ in choice.sites])):
            lists.add(name, words)
        for sheet, columns in sheets.items():
            _write_sheet(book, pages[sheet], columns, lists)
            _set_print(pages[sheet], look)
            pages[sheet].fit_to_pages(2 if sheet is Sheet.VISITS else 1, 0)
            pages[sheet].repeat_columns(1, 3)
        write_dictionary(book, guides[0], sheets, choice, catalogue)
        write_cautions(book, guides[1])
        for guide in guides:
            _set_print(guide, look)
            guide.fit_to_pages(1, 0)
    return target.getvalue()


class _Lists:
    """The hidden sheet with every list, each under a name that cells refer to, however long it is."""

    def __init__(self, book: Workbook) -> None:
        self._book, self._sheet = book, book.add_worksheet(LISTS)
        self._sheet.hide()
        self._names: dict[str, int] = {}

    def add(self, name: str, words: Sequence[str]) -> str:
        """Write a list, and return the name to refer to it by; empty where there is nothing to choose."""
        if not words:
            return ""
        place = self._names.setdefault(name, len(self._names))
        self._sheet.write_column(0, place, [name, *words])
        letter = _column_letter(place)
        self._book.define_name(f"choose_{name}", f"={LISTS}!${letter}$2:${letter}${len(words) + 1}")
        return f"=choose_{name}"

    def reference(self, name: str) -> str:
        """Return how a cell refers to a list; empty where that list is."""
        return f"=choose_{name}" if name in self._names else ""


def _column_letter(place: int) -> str:
    high, low = divmod(place, 26)
    return (chr(64 + high) if high else "") + chr(65 + low)


def _write_sheet(book: Workbook, page: Worksheet, columns: Sequence[TemplateColumn], lists: _Lists) -> None:
    head = book.add_format(
        {"bold": True, "text_wrap": True, "valign": "top", "bg_color": "#E4EEF4", "bottom": 2}
    )
    page.freeze_panes(1, 3)
    page.set_row(0, HEAD_POINTS)
    for place, column in enumerate(columns):
        page.set_column(place, place, WIDTHS.get(column.kind, HEAD_WIDTH), book.add_format(_format(column)))
        page.write_string(0, place, column.head, head)
        _write_example(page, place, column.example, book.add_format(_format(column) | EXAMPLE_LOOK))
        rule = cell_rule(column, place, lists.reference(column.choices))
        page.data_validation(1, place, LAST_ROW, place, rule)
        if column.heads:
            page.data_validation(0, place, 0, place, head_rule(lists.add(f"head_{place}", column.heads)))


EXAMPLE_LOOK: dict[str, Any] = {"italic": True, "font_color": "#5F6B73", "bg_color": "#F4F4F4"}


def _format(column: TemplateColumn) -> dict[str, Any]:
    if isinstance(column.example, date):
        return {"num_format": DAY, "valign": "top"}
    wanted = NUMBER_FORMATS.get(column.kind)
    look: dict[str, Any] = {"valign": "top", "text_wrap": column.kind is Kind.TEXT}
    return look | ({"num_format": wanted} if wanted else {})


def _write_example(page: Worksheet, place: int, value: Value, look: Any) -> None:
    if isinstance(value, date | time):
        page.write_datetime(1, place, value, look)
    elif isinstance(value, str):
        page.write_string(1, place, value, look)
    elif value is None:
        page.write_blank(1, place, None, look)
    else:
        page.write_number(1, place, value, look)


def _set_print(page: Worksheet, look: Look) -> None:
    page.set_landscape()
    page.set_paper(PAPERS[look.paper])
    page.set_margins(left=0.4, right=0.4, top=0.7, bottom=0.6)
    page.set_header(f"&L{look.title.replace('&', '&&')}&R&A")
    page.set_footer("&Rpage &P of &N")
    page.hide_gridlines(0)  # shown, and printed
    page.repeat_rows(0)
