"""What parts the columns of a text file: as its mapping says, or by the columns that must be there."""

from collections.abc import Collection
from itertools import islice
from pathlib import Path

from service.intake.mapping.bodies.file import FileBody, Separator
from service.intake.mapping.written.words import plain_word
from service.intake.sheets.cell import Unreadable
from service.intake.sheets.text.records import open_records, separator_line

SIGNS = {Separator.COMMA: ",", Separator.SEMICOLON: ";", Separator.TAB: "\t"}
SIGN_NAMES = {sign: name for name, sign in SIGNS.items()}


def separator_of(path: Path, encoding: str, how: FileBody, wanted: Collection[str | int] = ()) -> str:
    """Return the sign that parts the columns of a text file.

    It is the one that is given, or that the first line names (``sep=;``), or else the only one with which the
    wanted columns are in the head row. Where nothing is wanted, it is the only one with which the head row
    has more than one column.

    Raises
    ------
    Unreadable
        It could be more than one.
    """
    if how.separator is not None:
        return SIGNS[how.separator]
    if named := separator_line(path, encoding):
        return named
    heads = {sign: _head(path, encoding, sign, how.head_row) for sign in SIGNS.values()}
    found = {sign: _found(head, wanted) for sign, head in heads.items()}
    best = [sign for sign in heads if found[sign] == max(found.values())]
    if len(best) > 1:
        best = [sign for sign in best if len(heads[sign]) > 1] or best[:1]
    if len(best) > 1:
        names = " or ".join(SIGN_NAMES[sign].value for sign in best)
        raise Unreadable(
            f"The columns of the file could be parted by {names}; say which in the mapping (separator), or "
            "save the file as .xlsx."
        )
    return best[0]


def _head(path: Path, encoding: str, sign: str, head_row: int) -> list[str]:
    try:
        with open_records(path, encoding, sign) as records:
            record = next(islice(records, head_row - 1, None), None)
    except Unreadable:
        return []
    return record.cells if record else []


def _found(head: list[str], wanted: Collection[str | int]) -> int:
    names = {plain_word(name) for name in head}
    return sum(
        column <= len(head) if isinstance(column, int) else plain_word(column) in names for column in wanted
    )
