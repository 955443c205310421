"""Times of day as people and spreadsheets write them."""

import re
from datetime import date, datetime, time
from typing import NamedTuple

from service.intake.mapping.cell_problem import Refused
from service.intake.mapping.written.words import plain_blanks
from service.intake.sheets.cell import Value

DAY_SECONDS = 86_400
LONGEST_CLOCK = 40
_WITH_SIGNS = re.compile(
    r"(?P<hour>\d{1,2})(?:\s*(?P<sign>[:hH.])\s*(?P<minute>\d{2})(?::(?P<second>\d{2})(?:[.,]\d+)?)?)?"
    r"\s*(?:(?P<half>[apAP])\.?\s?[mM]\.?|(?P<word>Uhr|uhr|UHR|hrs?|h)(?![a-z]))?\s*(?P<zone>[Zz]|(?:UTC|GMT)?[+-]\d{2}:?\d{2}|[A-Za-z]{2,5})?",
    re.ASCII,
)
_BARE = re.compile(r"\d{1,4}", re.ASCII)
_SHARE = re.compile(r"0?\.\d{4,}", re.ASCII)


class Clock(NamedTuple):
    """A time of day [seconds since midnight, 0 to 86400] and the zone written behind it, if any.

    86400 is 24:00, the end of the day (ISO 8601): midnight of the next one.
    """

    seconds: int
    written_zone: str = ""


def read_clock(value: Value, *, bare: bool = False) -> Clock:
    """Return the time of day that a cell holds; with ``bare``, 752 and 7.52 are 7:52.

    Raises
    ------
    Refused
        There is no such time, or it may be more than one.
    """
    if isinstance(value, datetime):
        value = value.time()
    if isinstance(value, time):
        return Clock(value.hour * 3600 + value.minute * 60 + value.second)
    if isinstance(value, bool | date) or value is None:
        raise Refused("is no time of day; write it as 9:40")
    if isinstance(value, int | float):
        return _of_number(value, bare)
    text = plain_blanks(value)
    if len(text) > LONGEST_CLOCK:
        raise Refused("is too long for a time of day; write it as 9:40")
    if _BARE.fullmatch(text):
        return _of_digits(text, bare)
    if _SHARE.fullmatch(text):
        return Clock(round(float(text) * DAY_SECONDS))
    found = _WITH_SIGNS.fullmatch(text)
    signs = {None} if bare else {None, "."}  # 9.40 may be a decimal
    if found is None or (found["half"] is None and found["word"] is None and found["sign"] in signs):
        raise Refused("is no time of day; write hours and minutes as 9:40")
    return Clock(_seconds(found), found["zone"] or "")


def _of_number(number: float, bare: bool) -> Clock:
    if 0 <= number < 1 and not (number == 0 and bare):
        return Clock(round(number * DAY_SECONDS))  # a spreadsheet's time is a share of a day
    if not 0 <= number <= 9999 or number != int(number):
        raise Refused("is a number, not a time of day; write it as 9:40")
    return _of_digits(str(int(number)), bare)


def _of_digits(digits: str, bare: bool) -> Clock:
    if not bare:
        raise Refused(
            "is a bare number; write the time as 9:40, or say in the mapping that 940 means 9:40 (bare_clock)"
        )
    if len(digits) < 3:
        raise Refused(f"may be {digits} o'clock or {digits} minutes past midnight; write the time as 9:40")
    return Clock(_checked(int(digits[:-2]), int(digits[-2:]), 0))


def _seconds(found: re.Match[str]) -> int:
    hour, minute, second = (int(found[name] or 0) for name in ("hour", "minute", "second"))
    if found["half"] is not None:
        if not 1 <= hour <= 12:
            raise Refused(f"says {hour} with am or pm; write the time as 9:40 am or as 21:40")
        hour = hour % 12 + (12 if found["half"] in "pP" else 0)
    return _checked(hour, minute, second)


def _checked(hour: int, minute: int, second: int) -> int:
    if minute > 59 or second > 59 or hour > 24 or (hour == 24 and (minute or second)):
        raise Refused("is no time of day: hours go from 0 to 23, minutes and seconds to 59; correct it")
    return hour * 3600 + minute * 60 + second
