"""The `datetime` parameter: an instant, or an interval that may be open at one end.

A visit is public with its local date alone, so an instant stands here for the day that it is written with,
and days are compared: no filter tells at what hour a class stood in the creek.

Reference
---------
OGC 17-069r4, OGC API - Features Part 1: Core 1.0.1, section 7.15.4 (parameter datetime); RFC 3339,
section 5.6.
"""

import re
from dataclasses import dataclass
from datetime import date, datetime

from service.core.errors import BadQuery

OPEN = frozenset({"", ".."})
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")
_INSTANT = re.compile(r"\d{4}-\d{2}-\d{2}[Tt]\d{2}:\d{2}:\d{2}(\.\d{1,9})?([Zz]|[+-]\d{2}:\d{2})")
_FORM = (
    "datetime: write an instant with its offset, 2026-03-12T15:00:00Z, a day, 2026-03-12, or two of them as "
    "an interval, 2026-03-01T00:00:00Z/2026-03-31T23:59:59Z; `..` leaves one end open, and a + is sent as %2B"
)


@dataclass(frozen=True, slots=True)
class DaySpan:
    """From one local date to another, both inclusive; ``None`` is open."""

    first: date | None = None
    last: date | None = None


def read_time_span(text: str | None) -> DaySpan:
    """Return the days that a `datetime` parameter spans; left out, all of them.

    Raises
    ------
    BadQuery
        It is no instant, day or interval, names no real day, or ends before it begins.
    """
    if text is None:
        return DaySpan()
    if text.count("/") > 1:
        raise BadQuery(_FORM)
    start, slash, end = text.partition("/")
    if not slash:
        day = _day_of(_moment(text))
        return DaySpan(day, day)
    if start in OPEN and end in OPEN:
        raise BadQuery("datetime: give at least one end of the interval, or leave the parameter out")
    first = None if start in OPEN else _moment(start)
    last = None if end in OPEN else _moment(end)
    if first is not None and last is not None and _ends_before(first, last):
        raise BadQuery("datetime: the interval ends before it begins; exchange its ends")
    return DaySpan(None if first is None else _day_of(first), None if last is None else _day_of(last))


def _moment(text: str) -> date | datetime:
    try:
        if _DAY.fullmatch(text):
            return date.fromisoformat(text)
        if _INSTANT.fullmatch(text):
            return datetime.fromisoformat(text.upper())
    except ValueError:
        pass
    raise BadQuery(_FORM)


def _day_of(moment: date | datetime) -> date:
    return moment.date() if isinstance(moment, datetime) else moment


def _ends_before(first: date | datetime, last: date | datetime) -> bool:
    if isinstance(first, datetime) and isinstance(last, datetime) and last < first:
        return True
    return _day_of(last) < _day_of(first)
