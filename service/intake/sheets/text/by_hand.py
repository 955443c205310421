"""A record that the csv module does not take: blanks behind a closing quotation mark, or a mark gone "
"astray."""

import re
from collections.abc import Iterator, Sequence

from service.intake.sheets.cell import Unreadable

TWICE = "a mark inside a cell is written twice"


class ByHand:
    """Takes one record apart, for a file with one separator."""

    def __init__(self, separator: str) -> None:
        sign = re.escape(separator)
        quoted = r'"(?P<quoted>[^"]*(?:""[^"]*)*)" *'
        self._cell = re.compile(rf"(?:{quoted}|(?!\")(?P<plain>[^{sign}\r\n]*))(?P<end>{sign}|[\r\n]*\Z)")
        self._closed = re.compile(quoted)

    def cells(self, record: Sequence[str], line: int, more: Iterator[str]) -> list[str]:
        """Return the cells of a record; it may go on in lines that are still to be read.

        Parameters
        ----------
        record : the lines of the record that have been read; it grows as more are
        line : number of the first of them
        more : gives the lines that follow

        Raises
        ------
        Unreadable
            A quotation mark is not closed, or something stands behind one that is; the line is named.
        """
        while True:
            cells, place = self._split("".join(record))
            if place < 0:
                return cells
            text = "".join(record)
            if closed := self._closed.match(text, place):
                begin, end = line + _line_ends(text[:place]), line + _line_ends(text[: closed.end("quoted")])
                raise Unreadable(
                    f"The cell that begins with a quotation mark in line {begin} is closed by one in line "
                    f"{end}, but there its text goes on. Close the mark where the cell ends; {TWICE}."
                )
            if next(more, None) is None:
                raise self.not_closed(record, line)

    def not_closed(self, record: Sequence[str], line: int) -> Unreadable:
        """Return what to say of a record whose last quotation mark is not closed, or far too late."""
        text = "".join(record)
        _, place = self._split(text)
        return Unreadable(
            f"The quotation mark that opens a cell in line {line + _line_ends(text[: max(place, 0)])} is "
            f"not closed. Close it where the cell ends, or take it away; {TWICE}."
        )

    def _split(self, text: str) -> tuple[list[str], int]:
        """Return the cells of a text, and where the first begins that cannot be told: -1 if all can."""
        cells: list[str] = []
        place = 0
        while found := self._cell.match(text, place):
            quoted = found["quoted"]
            cells.append(found["plain"] if quoted is None else quoted.replace('""', '"'))
            place = found.end()
            if place == len(text) and not found["end"].strip("\r\n"):
                return cells, -1
        return cells, place


def _line_ends(text: str) -> int:
    return text.count("\n") + text.count("\r") - text.count("\r\n")
