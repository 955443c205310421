"""What one cell looks like: a number, a date, a clock, a mark of missing, a limit, or a word."""

import re
from datetime import date, datetime, time
from enum import StrEnum
from functools import lru_cache
from math import isfinite
from typing import NamedTuple

from service.intake.mapping.written.months import month_number
from service.intake.mapping.written.words import plain_blanks, plain_word
from service.intake.sheets.cell import Value

NOT_DETECTED = frozenset({"nd", "n.d.", "n.d", "bdl", "non-detect", "not detected", "<dl", "<mdl"})
MISSING = NOT_DETECTED | {
    "na", "n/a", "n.a.", "nan", "null", "-", "--", "---", ".", "..", "?", "*", "#n/a", "missing", "no data",
    "not sampled", "not measured", "ns",
}  # fmt: skip
LONGEST = 60  # longer texts are words, whatever is in them
_NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d{1,3})?", re.ASCII)
_COMMA = re.compile(r"[+-]?\d+,\d+", re.ASCII)
_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2}(,\d{3})+(\.\d+)?", re.ASCII)
_LIMIT = re.compile(r"([<>≤≥]=?)\s*([\d.,]+)|([\d.,]+)\s*(\+)", re.ASCII)
_DATE = re.compile(r"(\d{1,4})([-/.])(\d{1,2})\2(\d{1,4})(?:[T\s]+(.*))?", re.ASCII)
_NAMED = re.compile(
    r"[0-9]{1,2}(?:er|st|nd|rd|th)?[-/. ]*(?:de )?([^\W\d_]{3,10})\.?[-/., ]*(?:de )?[0-9]{2,4}(?:\s+(.*))?"
    r"|([^\W\d_]{3,10})\.? *[0-9]{1,2},? +[0-9]{4}(?:\s+(.*))?"
)
_CLOCK = re.compile(
    r"\d{1,2}(?::\d{2}(?::\d{2}(?:\.\d+)?)?|\s?[hH]\s?\d{2}|[.:]\d{2}(?= *[uU]hr)|(?= *[aApPuU]))"
    r"\s*(?:[apAP]\.?[mM]\.?|[uU]hr|hrs?)?\s*(Z|[+-]\d{2}:?\d{2}|[A-Za-z]{2,5})?",
    re.ASCII,
)


class Look(StrEnum):
    """What a cell looks like."""

    EMPTY = "empty"
    NUMBER = "number"
    DECIMAL_COMMA = "decimal comma"
    THOUSANDS = "1,234"
    LIMIT = "limit"
    MISSING = "missing"
    DATE = "date"
    NAMED_DATE = "named date"
    CLOCK = "clock"
    REAL_DATE = "real date"
    REAL_TIME = "real time"
    WORD = "word"


class Seen(NamedTuple):
    """A cell: what it looks like, its number, the three parts of a date, and a clock's zone.

    ``clock`` is what stands behind a date, or the cell itself.
    """

    look: Look
    number: float | None = None
    parts: tuple[str, str, str] | None = None
    clock: str = ""
    zone: str = ""
    sign: str = ""


def seen(value: Value) -> Seen:
    """Return what a cell looks like."""
    if value is None:
        return Seen(Look.EMPTY)
    if isinstance(value, bool) or (isinstance(value, float) and not isfinite(value)):
        return Seen(Look.WORD)
    if isinstance(value, int | float):
        return Seen(Look.NUMBER, float(value))
    if isinstance(value, datetime):
        behind = value.strftime("%H:%M") if value.time() != time() else ""
        return Seen(Look.REAL_DATE, clock=behind)
    if isinstance(value, date):
        return Seen(Look.REAL_DATE)
    return Seen(Look.REAL_TIME) if isinstance(value, time) else _of_text(value)


@lru_cache(maxsize=50_000)
def _of_text(written: str) -> Seen:
    text = plain_blanks(written)
    if not text:
        return Seen(Look.EMPTY)
    if len(text) > LONGEST:
        return Seen(Look.WORD)
    if _NUMBER.fullmatch(text):
        number = float(text)
        return Seen(Look.NUMBER, number) if isfinite(number) else Seen(Look.WORD)
    if plain_word(text) in MISSING:
        return Seen(Look.MISSING)
    if _THOUSANDS.fullmatch(text):
        return Seen(Look.THOUSANDS, float(text.replace(",", "")))
    if _COMMA.fullmatch(text):
        return Seen(Look.DECIMAL_COMMA, float(text.replace(",", ".")))
    if limit := _LIMIT.fullmatch(text):
        return Seen(Look.LIMIT, sign=limit[1] or limit[4])
    return _moment(text)


def _moment(text: str) -> Seen:
    if found := _DATE.fullmatch(text):
        clock = found[5] or ""
        zone = _CLOCK.fullmatch(clock.strip())
        return Seen(
            Look.DATE, parts=(found[1], found[3], found[4]), clock=clock, zone=(zone[1] or "") if zone else ""
        )
    if clock_found := _CLOCK.fullmatch(text):
        return Seen(Look.CLOCK, clock=text, zone=clock_found[1] or "")
    named = _NAMED.fullmatch(text)
    if named and month_number(named[1] or named[3]):
        return Seen(Look.NAMED_DATE, clock=(named[2] or named[4] or ""))
    return Seen(Look.WORD)
