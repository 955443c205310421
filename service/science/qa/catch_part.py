"""A part of a catch: how much of it that is, and what the class called the animals."""

from collections.abc import Sequence

from service.science.catch import Catch, CountScheme, Tally
from service.science.scores.scorable import is_present

FEWEST_OF_LETTER = {"R": 1, "C": 10, "D": 100, "P": 1}
NAMES_TO_LIST = 5


def present(catch: Catch) -> tuple[Tally, ...]:
    """Return the lines with animals; a count of 0 means looked for and not found."""
    return tuple(tally for tally in catch.tallies if is_present(tally))


def fewest_animals(count: int | None, letter: str | None) -> int:
    """Return how many animals a line stands for at least: its count, or the low end of its letter."""
    return count or FEWEST_OF_LETTER.get(letter or "", 0)


def share_percent(catch: Catch, part: Sequence[Tally]) -> float:
    """Return the share of some lines in a catch [%]: of the animals that were counted, else of the lines.

    In a catch without animals it is 0.
    """
    whole = present(catch)
    if not whole:
        return 0.0
    if catch.scheme is not CountScheme.COUNTS:
        return 100 * len(part) / len(whole)
    return 100 * sum(tally.count or 0 for tally in part) / sum(tally.count or 0 for tally in whole)


def names_written(tallies: Sequence[Tally]) -> str:
    """Return the names as the class wrote them, each once, and of a long list the first few."""
    names = list(dict.fromkeys(f'"{tally.written_name}"' for tally in tallies))
    listed, rest = names[:NAMES_TO_LIST], len(names) - NAMES_TO_LIST
    return ", ".join(listed) + (f" and {rest} more" if rest > 0 else "")
