"""Readers of words and numbers of a column, or of a value that is the same for all rows."""

from collections.abc import Callable, Collection
from enum import StrEnum

from service.intake.mapping.bodies.columns import Coded, Measured
from service.intake.mapping.cell_problem import Refused
from service.intake.mapping.readers.head import Bound, Head
from service.intake.mapping.readers.open_row import OpenRow
from service.intake.mapping.written.numbers import NumberRule, read_number, times
from service.intake.mapping.written.words import NearWords, plain_word, word_of
from service.intake.sheets.cell import Value

MOST_LISTED = 12
YES_NO = dict.fromkeys(("yes", "y", "true", "1"), True) | dict.fromkeys(("no", "n", "false", "0"), False)
ADD_IT = "Correct it, or add it to the mapping's values"


class CodedReader:
    """Reads what a cell's word stands for. With ``listed``, only those words are taken from a cell itself."""

    def __init__(self, coded: Coded, head: Head, listed: Collection[str] | None = None) -> None:
        self.constant = coded.value or ""
        self.bound = head.find(coded.column) if coded.column is not None else None
        self._values = None
        if coded.values is not None:
            self._values = {plain_word(word): meant for word, meant in coded.values.items()}
        self._near = NearWords(coded.values or listed or ())
        self._refuse_others = coded.refuse_others
        self._listed = {plain_word(word): word for word in listed} if listed is not None else None

    @property
    def label(self) -> str:
        """How a report names the column; empty for a value that is the same in all rows."""
        return self.bound.label if self.bound else ""

    def read(self, row: OpenRow) -> str:
        """Return what the word stands for; nothing where it is missing, refused or stands for nothing."""
        if self.bound is None:
            return self._in_list(self.constant)
        return row.take(self.bound, self._meant) or ""

    def _meant(self, value: Value) -> str:
        word = word_of(value)
        if self._values is None:
            return self._in_list(word)
        form = plain_word(word)
        if form in self._values:
            return self._in_list(self._values[form] or "")
        if not self._refuse_others:
            return ""
        raise Refused(
            f"is a word that the mapping does not know{self._near.did_you_mean(word) or '.'} {ADD_IT}"
        )

    def _in_list(self, word: str) -> str:
        if self._listed is None or not word:
            return word
        found = self._listed.get(plain_word(word))
        if found is None:
            words = list(self._listed.values())
            known = self._near.did_you_mean(word) or f"; known are {', '.join(words[:MOST_LISTED])}"
            raise Refused(f"is not one of the words taken here{known}")
        return found


class MeasuredReader:
    """Reads a number of a column, or gives the one that is the same for all rows."""

    def __init__(
        self,
        measured: Measured,
        head: Head,
        rule: NumberRule,
        read: Callable[[Value, NumberRule], float] = read_number,
    ) -> None:
        self._constant = measured.value
        self._times = measured.times
        self._rule = rule
        self._read = read
        self.bound: Bound | None = head.find(measured.column) if measured.column is not None else None

    @property
    def label(self) -> str:
        """How a report names the column; empty for a number that is the same in all rows."""
        return self.bound.label if self.bound else ""

    def read(self, row: OpenRow) -> float | None:
        """Return the number in the unit wanted; ``None`` where it is missing or refused."""
        number = self._constant if self.bound is None else row.take(self.bound, self._number)
        return None if number is None else times(number, self._times)

    def _number(self, value: Value) -> float:
        return self._read(value, self._rule)


def words_of(listed: type[StrEnum]) -> tuple[str, ...]:
    """Return the words of a closed list."""
    return tuple(one.value for one in listed)


def yes_or_no(value: Value) -> bool:
    """Return the answer to a question that is answered with yes or no.

    Raises
    ------
    Refused
        It is neither.
    """
    found = YES_NO.get(plain_word(word_of(value)))
    if found is None:
        raise Refused("is neither yes nor no; write one of them")
    return found


def whole_number(number: float) -> int:
    """Return a number that must be whole.

    Raises
    ------
    Refused
        It has decimals.
    """
    if number != int(number):
        raise Refused("is not a whole number; write how many there were")
    return int(number)
