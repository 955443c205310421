"""What a spreadsheet program says while a cell of the template is filled, and what it warns of."""

from datetime import date, time
from typing import Any

from xlsxwriter.utility import xl_rowcol_to_cell

from service.intake.field_order import Kind
from service.intake.template.columns import TemplateColumn
from service.intake.template.limits import Span

LONGEST_TITLE, LONGEST_MESSAGE = 32, 255  # of the file format
FIRST_DAY = date(1990, 1, 1)
END_OF_DAY = time(23, 59, 59)


def cell_rule(column: TemplateColumn, place: int, choose_from: str) -> dict[str, Any]:
    """Return the rule of the cells of a column. ``choose_from`` refers to its list, if it has one."""
    rule: dict[str, Any] = {"validate": "any"}
    told = column.write
    if choose_from:
        rule = {"validate": "list", "source": choose_from} | _warning(
            f"{column.head}: this is not in the list. Choose from the list, or go on if you mean it."
        )
    elif column.kind is Kind.TIME:
        rule = _moment(column)
    elif column.span is not None:
        told = column.span.words
        rule = _number(column.head, column.span, xl_rowcol_to_cell(1, place))
    return rule | {
        "input_title": _cut(column.head, LONGEST_TITLE),
        "input_message": _cut(told, LONGEST_MESSAGE),
    }


def head_rule(choose_from: str) -> dict[str, Any]:
    """Return the rule of a head that may be exchanged for one that names the kit."""
    return {
        "validate": "list",
        "source": choose_from,
        "input_title": "Which kit?",
        "input_message": "Choose the head that names your kit and its unit; its limits are used.",
    } | _warning("Take a head from the list: other heads are not understood when the sheet is handed in.")


def _warning(message: str) -> dict[str, Any]:
    return {
        "error_type": "warning",
        "error_title": "Please look again",
        "error_message": _cut(message, LONGEST_MESSAGE),
    }


def _moment(column: TemplateColumn) -> dict[str, Any]:
    if isinstance(column.example, date):
        bounds: dict[str, Any] = {"validate": "date", "criteria": ">=", "value": FIRST_DAY}
        return bounds | _warning("Write a day as year-month-day, such as 2026-03-12.")
    bounds = {"validate": "time", "criteria": "between", "minimum": time(0, 0), "maximum": END_OF_DAY}
    return bounds | _warning("Write the time by the clock at the site, 24 hours, such as 09:40 or 14:05.")


def _number(head: str, span: Span, cell: str) -> dict[str, Any]:
    inside = f"AND({cell}>={span.low!r},{cell}<={span.high!r})"
    marked = f'OR(LEFT(TRIM({cell}),1)="<",LEFT(TRIM({cell}),1)=">")' if span.censored else "FALSE"
    rule = {"validate": "custom", "value": f"=IF(ISNUMBER({cell}),{inside},{marked})"}
    return rule | _warning(f"{head}: {span.words} Look at the decimal sign and the unit.")


def _cut(text: str, longest: int) -> str:
    return text if len(text) <= longest else text[: longest - 1] + "…"
