"""One half of a place, from its cells to degrees north or east."""

import math

from service.intake.mapping.readers.head import Bound, Head
from service.intake.mapping.readers.open_row import OpenRow
from service.intake.mapping.written.numbers import NumberRule, read_number
from service.intake.mapping.written.words import plain_word, word_of
from service.intake.sheets.cell import Value
from service.intake.site_lists.mapping import Degrees

SIGNS = {"n": 1, "north": 1, "s": -1, "south": -1, "e": 1, "east": 1, "w": -1, "west": -1}
AXES = {"latitude": {"n", "north", "s", "south"}, "longitude": {"e", "east", "w", "west"}}
MOST = {"latitude": 90, "longitude": 180}
WRITTEN_DECIMALS = 9  # of degrees made of minutes and seconds: a tenth of a millimetre


class DegreesReader:
    """Reads latitude or longitude."""

    def __init__(self, axis: str, degrees: Degrees, head: Head, rule: NumberRule) -> None:
        self._axis = axis
        self._rule = rule
        self.bound = head.find(degrees.degrees)
        parts = (degrees.minutes, degrees.seconds)
        self._parts = [head.find(part) for part in parts if part is not None]
        self._hemisphere = head.find(degrees.hemisphere) if degrees.hemisphere is not None else None
        self._sign = SIGNS[degrees.positive or "north"]

    def read(self, row: OpenRow) -> float | None:
        """Return degrees north or east; ``None`` where nothing is written or something was refused."""
        whole = row.take(self.bound, self._number)
        parts = [row.take(bound, self._number) for bound in self._parts]
        if whole is None:
            for bound, part in zip(self._parts, parts, strict=True):
                if part is not None:
                    row.refuse(bound, "has no degrees before it; write them, or empty this cell too")
            return None
        degrees = self._joined(row, abs(whole), parts)
        sign = self._sign_of(row, math.copysign(1, whole) < 0)
        if degrees is None or sign is None:
            return None
        if degrees > MOST[self._axis]:
            row.refuse(
                self.bound, f"is no {self._axis}: it goes up to {MOST[self._axis]} degrees; correct it"
            )
            return None
        return sign * degrees

    def _number(self, value: Value) -> float:
        return read_number(value, self._rule)

    def _joined(self, row: OpenRow, degrees: float, parts: list[float | None]) -> float | None:
        if not self._parts:
            return degrees
        if degrees != int(degrees):
            row.refuse(
                self.bound, "has decimals although minutes stand in a column of their own; correct one"
            )
            return None
        share = 1.0
        for bound, part in zip(self._parts, parts, strict=True):
            share /= 60
            if part is not None and not 0 <= part < 60:
                row.refuse(bound, "is not from 0 to below 60, as minutes and seconds are; correct it")
                return None
            degrees += share * (part or 0)
        return round(degrees, WRITTEN_DECIMALS)

    def _sign_of(self, row: OpenRow, is_negative: bool) -> int | None:
        if self._hemisphere is None:
            return -self._sign if is_negative else self._sign
        word = plain_word(word_of(row.cell(self._hemisphere).value))
        if word not in AXES[self._axis]:
            return self._refused(row, self._hemisphere, f"does not say on which side the {self._axis} lies")
        if is_negative:
            return self._refused(row, self.bound, "has a minus sign and a hemisphere beside it; keep one")
        return SIGNS[word]

    @staticmethod
    def _refused(row: OpenRow, bound: Bound, reason: str) -> None:
        row.refuse(bound, reason)
