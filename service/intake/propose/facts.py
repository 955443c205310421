"""What stands in a column: how often it looks like what, between which numbers, and where first."""

import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field

from service.intake.mapping.written.words import word_of
from service.intake.propose.cell_kinds import Look, Seen, seen
from service.intake.sheets.cell import Cell, Row

MOST_WORDS = 2_000  # kept by count; a column with more is no list of words
LONGEST_WORD = 200  # that a mapping may name
_MIDNIGHT = re.compile(r"0?0:00(:00(\.0+)?)?", re.ASCII)  # what programs write behind a day alone
_LIKE_THOUSANDS = re.compile(r"[1-9]\d{0,2}\.\d{3}", re.ASCII)
_ODD_NUMBER = re.compile(r"[~≈±]?\s*[+-]?\d")
CLOCKED = (Look.DATE, Look.NAMED_DATE, Look.REAL_DATE)
NUMBERS = (Look.NUMBER, Look.DECIMAL_COMMA, Look.THOUSANDS)


@dataclass(slots=True)
class DateFacts:
    """The written dates of a column. ``settled`` names the first row whose day cannot be a month."""

    year_first: int = 0
    year_last: int = 0
    short_years: int = 0
    first_above_12: tuple[int, str] | None = None
    second_above_12: tuple[int, str] | None = None
    example: str = ""


@dataclass(slots=True)
class Facts:
    """One column. Rows are numbered as a spreadsheet numbers them; ``first`` has the first row of a look."""

    looks: Counter[Look] = field(default_factory=Counter)
    words: Counter[str] = field(default_factory=Counter)
    missing: Counter[str] = field(default_factory=Counter)
    zones: Counter[str] = field(default_factory=Counter)
    signs: Counter[str] = field(default_factory=Counter)
    first: dict[Look, tuple[int, str]] = field(default_factory=dict)
    low: float | None = None
    high: float | None = None
    at_high: int = 0
    negative: tuple[int, int, str] | None = None  # how many, row of the first, its text
    faults: tuple[int, int, str] | None = None  # how many, row of the first, what is wrong with it
    odd_numbers: int = 0
    whole: bool = True
    with_point: int = 0
    like_thousands: tuple[int, int, str] | None = None  # 1.200: how many, row of the first, its text
    clocks_behind: int = 0
    months: set[int] = field(default_factory=set)
    dates: DateFacts = field(default_factory=DateFacts)

    @property
    def filled(self) -> int:
        """Cells in which something is written that is not a mark of missing."""
        return self.looks.total() - self.looks[Look.EMPTY] - self.looks[Look.MISSING]

    @property
    def begin_with_number(self) -> float:
        """Which part of the filled cells begins with a number and goes on otherwise: 7-8, ~7, 3.2*."""
        return self.odd_numbers / self.filled if self.filled else 0.0

    @property
    def empty(self) -> int:
        """Cells with nothing, or a mark of missing."""
        return self.looks.total() - self.filled

    def share(self, *looks: Look) -> float:
        """Return which part of the filled cells looks so."""
        return sum(self.looks[look] for look in looks) / self.filled if self.filled else 0.0

    def note(self, row: int, cell: Cell) -> None:
        """Take in one more cell."""
        if cell.fault:
            self.faults = (self.faults[0] + 1, *self.faults[1:]) if self.faults else (1, row, cell.fault)
            return
        found = seen(cell.value)
        self.looks[found.look] += 1
        if found.look is Look.EMPTY:
            return
        text = word_of(cell.value) if cell.value is not None else ""
        self.first.setdefault(found.look, (row, text))
        if found.look is Look.MISSING:
            self.missing[text] += 1
            return
        if text in self.words or (len(self.words) < MOST_WORDS and len(text) <= LONGEST_WORD):
            self.words[text] += 1
        self.odd_numbers += found.look is Look.WORD and _ODD_NUMBER.match(text) is not None
        self._note_number(row, text, found)
        if found.look is Look.DATE:
            self._note_date(row, text, found)
        elif found.look is Look.REAL_DATE:
            self.months.add(int(text[5:7]))
        if found.clock and not _MIDNIGHT.fullmatch(found.clock) and found.look in CLOCKED:
            self.clocks_behind += 1
        if found.zone:
            self.zones[found.zone] += 1
        if found.sign:
            self.signs[found.sign] += 1

    def _note_number(self, row: int, text: str, found: Seen) -> None:
        number = found.number
        if number is None:
            return
        self.with_point += "." in text
        if found.look is Look.NUMBER and _LIKE_THOUSANDS.fullmatch(text):
            many, first, example = self.like_thousands or (0, row, text)
            self.like_thousands = (many + 1, first, example)
        self.whole = self.whole and number == int(number)
        self.low = number if self.low is None else min(self.low, number)
        if self.high is None or number > self.high:
            self.high, self.at_high = number, 0
        self.at_high += number == self.high
        if number < 0:
            many, first, example = self.negative or (0, row, text)
            self.negative = (many + 1, first, example)

    def _note_date(self, row: int, text: str, found: Seen) -> None:
        assert found.parts is not None
        first, second, third = found.parts
        self.dates.example = self.dates.example or text
        if len(first) >= 3:
            self.dates.year_first += 1
            self.months.add(int(second))
            return
        self.dates.year_last += 1
        self.dates.short_years += len(third) <= 2
        if int(first) > 12 and self.dates.first_above_12 is None:
            self.dates.first_above_12 = (row, text)
        if int(second) > 12 and self.dates.second_above_12 is None:
            self.dates.second_above_12 = (row, text)


def facts_of(columns: int, rows: Iterable[Row]) -> list[Facts]:
    """Return the facts of each column of a sheet."""
    found = [Facts() for _ in range(columns)]
    empty = Cell()
    for row in rows:
        for place, facts in enumerate(found):
            facts.note(row.number, row.cells[place] if place < len(row.cells) else empty)
    return found
