"""Which sheet of a workbook is meant."""

from collections.abc import Iterator
from itertools import chain

from service.intake.sheets.cell import Unreadable
from service.intake.sheets.workbook.book import Book, SheetPart
from service.intake.sheets.workbook.sheet_rows import NumberedItems, sheet_rows

MOST_NAMED = 12


def chosen_sheet(book: Book, name: str | None) -> tuple[SheetPart, Iterator[NumberedItems]]:
    """Return the sheet of this name, or without one the only sheet that is shown and has rows; and its rows.

    Raises
    ------
    Unreadable
        There is none, or more than one.
    """
    return _only_one(book) if name is None else _named(book, name)


def _named(book: Book, name: str) -> tuple[SheetPart, Iterator[NumberedItems]]:
    found = [one for one in book.sheets if one.name == name] or [
        one for one in book.sheets if one.name.strip().casefold() == name.strip().casefold()
    ]
    if len(found) != 1:
        raise Unreadable(f'The workbook has no sheet "{name}"; it has {_names(list(book.sheets))}.')
    return found[0], sheet_rows(book, found[0])


def _only_one(book: Book) -> tuple[SheetPart, Iterator[NumberedItems]]:
    filled = []
    for one in book.sheets:
        rows = sheet_rows(book, one)
        if not one.hidden and (first := next(rows, None)) is not None:
            filled.append((one, chain([first], rows)))
    if len(filled) == 1:
        return filled[0]
    if not filled:
        raise Unreadable(
            "Nothing is written in any sheet of the workbook that is shown; a hidden one is read when the "
            "mapping names it."
        )
    raise Unreadable(
        f"The workbook has {len(filled)} sheets with rows: {_names([one for one, _ in filled])}. Say in "
        "the mapping which one is meant (sheet), or send a workbook with one."
    )


def _names(sheets: list[SheetPart]) -> str:
    names = [f'"{one.name[:80]}"' for one in sheets[:MOST_NAMED]]
    return ", ".join(names) + (f" and {len(sheets) - MOST_NAMED} more" if len(sheets) > MOST_NAMED else "")
