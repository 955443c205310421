"""A file that somebody sent, as a grid of cells: text or a workbook, told apart by what is in it."""

from collections.abc import Collection
from contextlib import AbstractContextManager
from pathlib import Path

from service.intake.mapping.bodies.file import FileBody
from service.intake.sheets.cell import Grid
from service.intake.sheets.kind_of_file import FileKind, kind_of_file
from service.intake.sheets.text.read_text import read_text
from service.intake.sheets.workbook.read_workbook import read_workbook


def read_file(path: Path, how: FileBody, wanted: Collection[str | int] = ()) -> AbstractContextManager[Grid]:
    """Give the sheet that a file holds, as long as the block lasts; rows are read as they are asked for.

    A row's number is the one that a spreadsheet shows beside it, so a row of several lines of text counts
    once. Rows that hold nothing are left out.

    Parameters
    ----------
    path : the file, whatever its name
    how : its sheet, head row, encoding and separator, as far as they are known
    wanted : columns that must be there, by name or number; the separator is found by them

    Raises
    ------
    Unreadable
        At once, on entering the block, or while rows are read: the file cannot be read on. Its message says
        why and what to do.
    """
    if kind_of_file(path) is FileKind.TEXT:
        return read_text(path, how, wanted)
    return read_workbook(path, how)
