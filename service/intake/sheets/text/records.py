"""The records of a text file whose columns are parted by a sign, each with where it stands."""

import csv
import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple, TextIO

from service.intake.sheets.cell import Unreadable
from service.intake.sheets.limits import LONGEST_LINE, MOST_LINES_OF_A_ROW
from service.intake.sheets.text.by_hand import ByHand

SEPARATOR_LINE = re.compile(r'"?sep=(?P<sign>[,;\t])"?[,;\t]*[\r\n]*', re.IGNORECASE)
BLANKS_PERHAPS = "expected after"  # what csv says of anything behind a closing quotation mark


class Record(NamedTuple):
    """One record: its number as a spreadsheet counts rows, its first and last line, and its cells."""

    number: int
    line: int
    last_line: int
    cells: list[str]


@contextmanager
def open_records(path: Path, encoding: str, separator: str) -> Iterator[Iterator[Record]]:
    """Give the records of a text file, read as they are asked for.

    A row that goes over several lines of text, because a cell between quotation marks does, counts once; an
    empty line counts; a first line ``sep=;`` does not: so the numbers are those that a spreadsheet shows.

    Raises
    ------
    Unreadable
        While records are read: a quotation mark is not closed, or a line is too long; the line is named.
    """
    with path.open(encoding=encoding, newline="") as file:
        yield _records(_Lines(file), separator)


def separator_line(path: Path, encoding: str) -> str:
    """Return the sign that a first line such as ``sep=;`` names; an empty text where there is none."""
    with path.open(encoding=encoding, newline="") as file:
        found = SEPARATOR_LINE.fullmatch(file.readline(20))
    return found["sign"] if found else ""


class _Lines:
    """The lines of a file; those of the record that is being read are kept until it is whole."""

    def __init__(self, file: TextIO) -> None:
        self._file = file
        self.count = 0
        self.of_record: list[str] = []

    def __iter__(self) -> Iterator[str]:
        while line := self._file.readline(LONGEST_LINE + 1):
            self.count += 1
            if self.count == 1 and SEPARATOR_LINE.fullmatch(line):
                continue
            if len(line) > LONGEST_LINE:
                raise Unreadable(
                    f"Line {self.count} is longer than {LONGEST_LINE:,} letters: the file is no sheet, or "
                    "its line ends are lost. Save it anew as .xlsx or .csv."
                )
            self.of_record.append(line)
            yield line

    def begin_record(self) -> int:
        """Return the line in which the next record begins."""
        self.of_record.clear()
        return self.count + 1


def _records(lines: _Lines, separator: str) -> Iterator[Record]:
    by_hand = ByHand(separator)
    source = _within_a_row(lines, by_hand)
    reader = csv.reader(source, delimiter=separator, strict=True)
    number = 0
    while True:
        line = lines.begin_record()
        number += 1
        try:
            cells = next(reader, None)
        except csv.Error as error:
            if BLANKS_PERHAPS not in str(error):
                raise by_hand.not_closed(lines.of_record, line) from None
            cells = by_hand.cells(lines.of_record, line, source)
        if cells is None:
            return
        yield Record(number, line, lines.count, cells)


def _within_a_row(lines: _Lines, by_hand: ByHand) -> Iterator[str]:
    """Pass lines on, until one row has more of them than any row of a real sheet."""
    for line in lines:
        if len(lines.of_record) > MOST_LINES_OF_A_ROW:
            raise by_hand.not_closed(lines.of_record, lines.count - len(lines.of_record) + 1)
        yield line
