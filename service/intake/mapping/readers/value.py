"""Reads one value with what stands beside it: sign, limit, repeat, kit and procedure."""

from collections.abc import Callable
from typing import Any

from service.intake.mapping.bodies.file import FileBody
from service.intake.mapping.bodies.readings import CensoringBody, HowRead, ReadingKind
from service.intake.mapping.cell_problem import Refused
from service.intake.mapping.part import Sent
from service.intake.mapping.readers.coded import CodedReader, MeasuredReader, whole_number, yes_or_no
from service.intake.mapping.readers.head import Bound, Head
from service.intake.mapping.readers.open_row import OpenRow
from service.intake.mapping.written.censoring import Limited, read_limited
from service.intake.mapping.written.numbers import NumberRule, read_number, times
from service.intake.mapping.written.words import NearWords, plain_word, word_of
from service.intake.sheets.cell import Value

YES_NO_QUESTIONS = frozenset({"bubble_free", "undisturbed_water"})
WHOLE_NUMBERS = frozenset({"tablets"})


class ValueReader:
    """Reads the values of one column."""

    def __init__(self, bound: Bound, how: HowRead, head: Head, file: FileBody) -> None:
        self.bound = bound
        self._rule = NumberRule(file.decimal, file.thousands)
        self._not_detected = {plain_word(word) for word in file.not_detected}
        self._sign = SignReader(how.censored, head) if how.censored else None
        self._limit = MeasuredReader(how.limit, head, self._rule) if how.limit else None
        self._replicate = head.find(how.replicate) if how.replicate is not None else None
        self._kit = CodedReader(how.kit_column, head) if how.kit_column else None
        self._lot = CodedReader(how.lot_column, head) if how.lot_column else None
        self._procedure = [
            (name, head.find(column), self._answer(name)) for name, column in how.procedure.items()
        ]

    def read(self, row: OpenRow, kind: ReadingKind, unit: str | None) -> Sent | None:
        """Return the reading; ``None`` where nothing was measured or something of it is refused."""
        before = len(row.problems)
        limited = self._limited(row, percent=unit == "%")
        if limited is None or len(row.problems) > before:
            return None
        reading: dict[str, Any] = {"parameter": kind.parameter, "value": times(limited.number, kind.times)}
        facts = {
            "unit": unit,
            "censored": limited.sign,
            "kit": (plain_word(self._kit.read(row)) if self._kit else "") or kind.kit,
            "kit_lot": (plain_word(self._lot.read(row)) if self._lot else "") or kind.kit_lot,
            "replicate": row.take(self._replicate, self._whole) if self._replicate else None,
            "procedure": self._how(row) if self._procedure else None,
        }
        reading.update((name, fact) for name, fact in facts.items() if fact)
        return Sent(reading, self.bound.label)

    def _limited(self, row: OpenRow, *, percent: bool) -> Limited | None:
        sign = self._sign.read(row) if self._sign else ""
        if row.is_missing(self.bound):
            return self._limit_alone(row, sign) if sign else None
        if self._not_detected and plain_word(row.cell(self.bound).text) in self._not_detected:
            return self._limit_alone(row, "<")
        limited = row.take(self.bound, self._percentage if percent else self._number_with_sign)
        if limited is None or not sign:
            return limited
        if limited.sign and limited.sign != sign:
            row.refuse(self.bound, f"says {limited.sign}, but the column beside it says {sign}; correct one")
            return None
        return Limited(limited.number, sign)

    def _limit_alone(self, row: OpenRow, sign: str) -> Limited | None:
        """Return the limit that a reading without a number stands for."""
        before = len(row.problems)
        limit = self._limit.read(row) if self._limit else None
        if limit is not None:
            return Limited(limit, sign)
        if len(row.problems) == before:
            row.refuse(
                self.bound,
                f"is only known to lie {'below' if sign == '<' else 'above'} a limit, and the limit is not "
                f"given; write it with its sign, such as {sign}0.5",
            )
        return None

    def _how(self, row: OpenRow) -> dict[str, Any]:
        found = ((name, row.take(bound, answer)) for name, bound, answer in self._procedure)
        return {name: fact for name, fact in found if fact is not None}

    def _answer(self, name: str) -> Callable[[Value], bool | float]:
        if name in YES_NO_QUESTIONS:
            return yes_or_no
        return self._whole if name in WHOLE_NUMBERS else self._number

    def _number_with_sign(self, value: Value) -> Limited:
        return read_limited(value, self._rule)

    def _percentage(self, value: Value) -> Limited:
        return read_limited(value, self._rule, percent=True)

    def _number(self, value: Value) -> float:
        return read_number(value, self._rule)

    def _whole(self, value: Value) -> int:
        return whole_number(read_number(value, self._rule))


class SignReader:
    """Reads whether a reading is only a limit, from the column that says so."""

    def __init__(self, body: CensoringBody, head: Head) -> None:
        self._bound = head.find(body.column)
        self._signs = {plain_word(word): sign or "" for word, sign in body.values.items()}
        self._near = NearWords(body.values)

    def read(self, row: OpenRow) -> str:
        """Return ``<``, ``>`` or nothing; what is refused is noted in the row."""
        return row.take(self._bound, self._meant) or ""

    def _meant(self, value: Value) -> str:
        word = word_of(value)
        sign = self._signs.get(plain_word(word))
        if sign is None:
            near = self._near.did_you_mean(word) or "; add it there"
            raise Refused(f"is a word that the mapping does not explain (censored: values){near}")
        return sign
