"""Where a row stands in a file of one or more sheets, as one number that sorts.

The rows of a second sheet are counted on far behind those of the first, so that each row has a number of its
own until it is told to a person.
"""

import re
from collections.abc import Sequence

SPAN = 10_000_000  # more rows than a sheet of a workbook can have
_NAMED = re.compile(r"\brow (\d{8,})\b")


def split(place: int) -> tuple[int, int]:
    """Return the index of the sheet that a row stands on, and the number that is shown beside it."""
    return divmod(place, SPAN)


def sheet_of(place: int, sheets: Sequence[str]) -> str:
    """Return the name of the sheet that a row stands on."""
    index, _ = split(place)
    return sheets[index] if index < len(sheets) else ""


def told_plainly(text: str, sheets: Sequence[str]) -> str:
    """Return a text in which each row of a further sheet is told by its number there and the sheet's name."""

    def named(found: re.Match[str]) -> str:
        place = int(found[1])
        return f"row {split(place)[1]} of sheet {sheet_of(place, sheets)}"

    return _NAMED.sub(named, text)
