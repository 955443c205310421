"""The seasons of a year as three months each, by local date: December to February runs across the year's end.

They are named by their months, which hold on both sides of the equator.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

_NAMES = {3: "Mar-May", 6: "Jun-Aug", 9: "Sep-Nov", 12: "Dec-Feb"}


@dataclass(frozen=True, slots=True, order=True)
class Season:
    """Three whole months, first and last day inclusive."""

    first: date
    last: date

    @property
    def name(self) -> str:
        """Years and months, such as ``2025 Mar-May`` or ``2025/26 Dec-Feb``."""
        years = f"{self.first.year}"
        if self.last.year != self.first.year:
            years += f"/{self.last.year % 100:02}"
        return f"{years} {_NAMES[self.first.month]}"


def season_of(on: date) -> Season:
    """Return the season that a local date lies in."""
    begins = on.month - on.month % 3
    first = date(on.year, begins, 1) if begins else date(on.year - 1, 12, 1)
    after = date(first.year + 1, 3, 1) if first.month == 12 else date(first.year, first.month + 3, 1)
    return Season(first, after - timedelta(days=1))


def seasons_of(dates: Iterable[date]) -> list[Season]:
    """Return the seasons that hold any of the dates, oldest first."""
    return sorted({season_of(on) for on in dates})
