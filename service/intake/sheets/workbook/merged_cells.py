"""Cells that were joined to one: all but the first are empty, although a person sees something there."""

import re
from zipfile import ZipFile

from service.intake.sheets.cell import Unreadable
from service.intake.sheets.limits import MOST_COLUMNS, MOST_MERGED
from service.intake.sheets.workbook.column_place import column_place
from service.intake.sheets.workbook.frames import FAULT, Item

MERGED = "is part of merged cells; unmerge them and write into each cell what holds for it"
SCANNED_BYTES = 1_048_576
LONGEST_MERGE = 256
_MERGE = re.compile(rb'<(?:\w+:)?mergeCell\s[^>]{0,80}?ref="([A-Z]{1,3})(\d{1,7}):([A-Z]{1,3})(\d{1,7})"')


class MergedCells:
    """The merged cells of one sheet, asked for row by row from the first on."""

    def __init__(self, archive: ZipFile, part: str) -> None:
        self._waiting = sorted(_merged_in(archive, part), reverse=True)
        self._now: list[tuple[int, int, int, int]] = []

    def marked(self, number: int, items: list[Item]) -> list[Item]:
        """Return a row with a fault in each cell that only seems to hold something."""
        while self._waiting and self._waiting[-1][0] <= number:
            self._now.append(self._waiting.pop())
        if not self._now:
            return items
        self._now = [one for one in self._now if one[1] >= number]
        for top, _, left, right in self._now:
            for place in range(left, min(right, MOST_COLUMNS - 1) + 1):
                if (number, place) != (top, left):
                    items.extend([None] * (place + 1 - len(items)))
                    items[place] = [FAULT, MERGED, ""]
        return items


def _merged_in(archive: ZipFile, part: str) -> list[tuple[int, int, int, int]]:
    """Return first row, last row, first column, last column; they stand behind the rows they belong to."""
    found: set[tuple[int, int, int, int]] = set()
    rest = b""
    with archive.open(part) as file:
        while chunk := file.read(SCANNED_BYTES):
            text = rest + chunk
            if b"mergeCell " in text:
                for left, top, right, bottom in _MERGE.findall(text):
                    found.add(
                        (int(top), int(bottom), column_place(left.decode()), column_place(right.decode()))
                    )
            if len(found) > MOST_MERGED:
                raise Unreadable(
                    f"The sheet has more than {MOST_MERGED:,} merged cells; unmerge them and send it again."
                )
            rest = text[-LONGEST_MERGE:]
    return list(found)
