"""Which rows of a sheet are wanted, as its mapping says."""

from service.intake.mapping.bodies.columns import Only
from service.intake.mapping.readers.head import Head
from service.intake.mapping.readers.open_row import OpenRow
from service.intake.mapping.written.numbers import NumberRule, read_number
from service.intake.mapping.written.words import plain_word, word_of
from service.intake.sheets.cell import Value


class OnlyRule:
    """One rule of a mapping about the rows that are wanted."""

    def __init__(self, only: Only, head: Head, rule: NumberRule) -> None:
        self._only = only
        self._bound = head.find(only.column)
        self._rule = rule
        self._words = {plain_word(word) for word in only.words} if only.words is not None else None
        self._but_not = {plain_word(word) for word in only.but_not or ()}

    def leaves_out(self, row: OpenRow) -> str:
        """Return why a row is left out; nothing for one that is wanted. What cannot be told is noted."""
        cell = row.cell(self._bound)
        if cell.fault:
            row.refuse(self._bound, cell.fault)
            return ""
        word = plain_word(word_of(cell.value))
        forms = {word, ""} if row.is_missing(self._bound) else {word}
        wanted = self._words is None or bool(forms & self._words)
        if not wanted or forms & self._but_not or not self._is_within(row):
            return self._only.why
        return ""

    def _is_within(self, row: OpenRow) -> bool:
        least, most = self._only.at_least, self._only.at_most
        if least is None and most is None:
            return True
        if row.is_missing(self._bound):
            return False
        number = row.take(self._bound, self._number)
        if number is None:
            return True  # the row is refused for it
        return (least is None or number >= least) and (most is None or number <= most)

    def _number(self, value: Value) -> float:
        return read_number(value, self._rule)
