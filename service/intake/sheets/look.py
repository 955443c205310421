"""A first look at a file of which nothing is known: its sheets, how they may be read, and what they hold."""

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import chain, islice
from pathlib import Path

from service.intake.mapping.bodies.file import Encoding, Separator
from service.intake.sheets.cell import Cell, Row, Unreadable
from service.intake.sheets.kind_of_file import FileKind, kind_of_file
from service.intake.sheets.text.encoding import decodes, encoding_of
from service.intake.sheets.text.read_text import all_rows
from service.intake.sheets.text.records import open_records, separator_line
from service.intake.sheets.text.separator import SIGN_NAMES
from service.intake.sheets.workbook.read_workbook import all_sheets

MOST_ROWS = 20_000  # of a sheet that are looked at
HEAD_WITHIN = 30  # rows
STEADY = 0.8  # part of the rows that have the same number of columns
FILLED = 0.6  # part of the columns that a head row names
NAMES = 0.7  # part of its cells that are names, not numbers or dates
NOT_A_NAME = re.compile(r"[\d\s.,:;/<>+\-–TZ]*")  # numbers, dates and times
ENCODINGS: tuple[Encoding, ...] = ("utf-8", "windows-1252", "latin-1", "utf-16")


@dataclass(frozen=True, slots=True)
class Look:
    """What one sheet is like.

    ``encodings`` and ``separators`` are those with which a text file can be read, the likeliest first; the
    rest is what is seen with these, and both are empty for a workbook. ``columns`` are the names in the head
    row, with an empty one for each column that has none. ``is_whole`` tells whether all rows were counted.
    """

    sheet: str
    is_hidden: bool
    encodings: tuple[Encoding, ...]
    separators: tuple[Separator, ...]
    head: Row
    columns: tuple[str, ...]
    rows: int
    is_whole: bool


def look_into(path: Path) -> list[Look]:
    """Return what each sheet of a file is like that has something written in it.

    The head row is the first that has names in most columns; it is a guess, to be shown to a person.

    Raises
    ------
    Unreadable
        The file is none that is read, or nothing is written in it.
    """
    if kind_of_file(path) is FileKind.TEXT:
        looks = [_look_at_text(path)]
    else:
        with all_sheets(path, MOST_ROWS + 1) as sheets:
            looks = [_look_at(rows, name, is_hidden=hidden) for name, hidden, rows in sheets]
    found = [look for look in looks if look is not None]
    if not found:
        raise Unreadable("Nothing is written in the file.")
    return found


def _look_at_text(path: Path) -> Look | None:
    encodings = _encodings(path)
    encoding = encoding_of(path, encodings[0] if encodings else "utf-8")
    signs = _steady_signs(path, encoding)
    with open_records(path, encoding, signs[0] if signs else ",") as records:
        rows = all_rows(records)
        return _look_at(rows, "", encodings=encodings, separators=tuple(SIGN_NAMES[one] for one in signs))


def _encodings(path: Path) -> tuple[Encoding, ...]:
    """Return what may be declared; only the first where a byte-order mark rules, or all is plain ASCII."""
    with path.open("rb") as file:
        in_pairs = b"\0" in file.read(4096)
    said = {name: decodes(path, name) for name in ENCODINGS if name != "utf-16" or in_pairs}
    return tuple({one: name for name, one in reversed(said.items()) if one}.values())[::-1]


def _steady_signs(path: Path, encoding: str) -> list[str]:
    """Return the separators with which most rows have the same number of columns, more than one."""
    if named := separator_line(path, encoding):
        return [named]
    shares = {}
    for sign in SIGN_NAMES:
        try:
            with open_records(path, encoding, sign) as records:
                widths = Counter(len(one.cells) for one in islice(records, 200) if "".join(one.cells).strip())
        except Unreadable:
            continue
        width, rows = widths.most_common(1)[0] if widths else (1, 0)
        if width > 1 and rows >= STEADY * widths.total():
            shares[sign] = (rows / widths.total(), width)
    return sorted(shares, key=lambda sign: shares[sign], reverse=True)


def _look_at(
    rows: Iterator[Row],
    sheet: str,
    *,
    is_hidden: bool = False,
    encodings: tuple[Encoding, ...] = (),
    separators: tuple[Separator, ...] = (),
) -> Look | None:
    begin = list(islice(rows, HEAD_WITHIN))
    if not begin:
        return None
    place = _place_of_head(begin)
    names = [cell.text for cell in begin[place].cells]
    width = len(names)
    count = 0
    for row in chain(begin[place + 1 :], islice(rows, MOST_ROWS - len(begin))):
        width = max(width, len(row.cells))
        count += 1
    columns = (*names, *[""] * (width - len(names)))
    is_whole = next(rows, None) is None
    return Look(sheet, is_hidden, encodings, separators, begin[place], columns, count, is_whole)


def _place_of_head(rows: list[Row]) -> int:
    """Return the place of the row that names the columns: the first that is filled, and with names."""
    filled = [[cell for cell in row.cells if cell.text] for row in rows]
    width = max(map(len, filled))
    for place, cells in enumerate(filled):
        if len(cells) >= FILLED * width and sum(map(_is_name, cells)) >= NAMES * len(cells):
            return place
    return 0


def _is_name(cell: Cell) -> bool:
    return isinstance(cell.value, str) and NOT_A_NAME.fullmatch(cell.text) is None
