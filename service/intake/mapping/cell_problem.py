"""What is wrong with a cell, for the person who can mend it."""

from dataclasses import dataclass

LONGEST_QUOTE = 80


@dataclass(frozen=True, slots=True)
class CellProblem:
    """One cell that cannot be taken, or of which something is to be said.

    ``column`` is its name in the head row with its letter, such as ``pH (column F)``, empty where the whole
    row is meant; ``value`` what is written, shortened; ``reason`` what is wrong and what to do.
    """

    column: str
    value: str
    reason: str


class Refused(Exception):
    """A cell cannot be taken. ``reason`` says why and what to do, for a teacher."""

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.reason = reason


def quoted(text: str) -> str:
    """Return a text short enough to stand in a report."""
    one_line = " ".join(text.split())
    return one_line if len(one_line) <= LONGEST_QUOTE else one_line[: LONGEST_QUOTE - 1] + "…"
