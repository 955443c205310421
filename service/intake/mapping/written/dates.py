"""Dates as people and spreadsheets write them, all of one column in one order."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from typing import NamedTuple

from service.core.schema import EARLIEST_YEAR, LATEST_YEAR
from service.intake.mapping.cell_problem import Refused
from service.intake.mapping.written.months import month_number
from service.intake.mapping.written.words import plain_blanks, plain_word
from service.intake.sheets.cell import Value

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
LONGEST_DATE = 60
LARGEST_BARE = 100_000_000  # eight digits
_NUMBERS = re.compile(r"(\d{1,4})\s*([-/.])\s*(\d{1,2})\s*\2\s*(\d{1,4})", re.ASCII)
_NAME = r"([^\W\d_]{3,10})"
_DAY_FIRST = re.compile(
    rf"([0-9]{{1,2}})(?:st|nd|rd|th|er)?[-/. ]*(?:de )?{_NAME}\.?[-/., ]*(?:de )?([0-9]{{4}}|[0-9]{{2}})"
)
_MONTH_FIRST = re.compile(rf"{_NAME}\.?[- ]*([0-9]{{1,2}})(?:st|nd|rd|th)?,?[- ]+([0-9]{{4}}|[0-9]{{2}})")
_YEAR_FIRST = re.compile(rf"([0-9]{{4}})[-/. ]*{_NAME}\.?[-/. ]*([0-9]{{1,2}})")
_FORMS = (_NUMBERS, _DAY_FIRST, _MONTH_FIRST, _YEAR_FIRST)
_CLOCK_BEHIND = re.compile(r"(?:[Tt]|,?\s+)(?=\d{1,2}\s*(?:[:hHapAP]|\d{2}\b))(.+)", re.ASCII)
_WEEKDAY = re.compile(r"(mon|tue|wed|thu|fri|sat|sun)[a-z]{0,6}\.?,?\s+", re.ASCII | re.IGNORECASE)
_DIGITS, _SHORT = re.compile(r"\d{1,4}", re.ASCII), re.compile(r"\d{1,2}", re.ASCII)
_PLACES = {"ymd": (0, 1, 2), "dmy": (2, 1, 0), "mdy": (2, 0, 1)}
_ORDER_WORDS = {"ymd": "year-month-day", "dmy": "day-month-year", "mdy": "month-day-year"}
# Part 1 of ECMA-376, 18.17.4.1: day 1 is 1900-01-01; day 60 is a 29 February that never was.
FIRST_SURE_SERIAL = 61
_SERIAL_ZERO = {"serial-1900": date(1899, 12, 30), "serial-1904": date(1904, 1, 1)}


@dataclass(frozen=True, slots=True)
class DateRule:
    """What a mapping says of its dates; see the fields of the same name there."""

    order: str | None = None
    century: int | None = None
    bare_date: str | None = None
    days: Mapping[str, date] = field(default_factory=dict)


class WrittenDate(NamedTuple):
    """A day, and what stands behind it in the same cell: a text, a real time, or nothing."""

    day: date
    clock: str | time | float | None = None


def read_date(value: Value, rule: DateRule) -> WrittenDate:
    """Return the day that a cell holds.

    Raises
    ------
    Refused
        There is no such day, it may be more than one, or it is no date.
    """
    if isinstance(value, datetime):
        return WrittenDate(_in_calendar(value.date()), value.time())
    if isinstance(value, date):
        return WrittenDate(_in_calendar(value))
    if isinstance(value, bool | time) or value is None:
        raise Refused("is no date; write the day of the visit")
    if isinstance(value, int | float):
        return _bare(value, rule)
    text = plain_blanks(value)
    if len(text) > LONGEST_DATE:
        raise Refused("is too long for a date; write the day of the visit")
    named = rule.days.get(plain_word(text))
    if named is not None:
        return WrittenDate(named)
    if re.fullmatch(r"\d+(\.\d+)?", text, re.ASCII):
        return _bare(float(text), rule)
    weekday = _WEEKDAY.match(text)
    found = _written(text[weekday.end() :] if weekday else text, rule)
    if weekday and weekday[1].casefold() != WEEKDAYS[found.day.weekday()]:
        raise Refused(f"names another day of the week than {found.day} was; correct one of them")
    return found


def day_of_parts(year: str, month: str, day: str, rule: DateRule) -> date:
    """Return the day whose year, month (a number or its name) and day were written apart.

    Raises
    ------
    Refused
        There is no such day.
    """
    if month[:1].isalpha():
        month = str(_month_number(month))
    if not (_DIGITS.fullmatch(year) and _SHORT.fullmatch(month) and _SHORT.fullmatch(day)):
        raise Refused("is not a date in three columns; write year, month and day as whole numbers")
    return _day(_year(year, rule), int(month), int(day), "year, month and day")


def _written(text: str, rule: DateRule) -> WrittenDate:
    for form in _FORMS:
        found = form.match(text)
        if found is None:
            continue
        rest = text[found.end() :]
        behind = _CLOCK_BEHIND.fullmatch(rest)
        if rest.strip() and behind is None:
            continue
        clock = behind[1] if behind else None
        if form is _NUMBERS:
            return WrittenDate(_of_numbers((found[1], found[3], found[4]), rule), clock)
        return WrittenDate(_of_words(form, found, rule), clock)
    raise Refused("is not a date; write the day of the visit, such as 2026-03-12")


def _of_numbers(parts: tuple[str, str, str], rule: DateRule) -> date:
    order = rule.order
    if len(parts[0]) == 4:
        order = "ymd"
    elif order is None:
        raise Refused(
            "may start with the day or with the month; say in the mapping which order the dates of this "
            "column have: dmy, mdy or ymd"
        )
    elif order == "ymd" and len(parts[2]) == 4:
        raise Refused("ends with the year, but the mapping says year-month-day; correct one of them")
    year, month, day = (parts[place] for place in _PLACES[order])
    return _day(_year(year, rule), int(month), int(day), _ORDER_WORDS[order])


def _of_words(form: re.Pattern[str], found: re.Match[str], rule: DateRule) -> date:
    if form is _DAY_FIRST:
        day, month, year = found.groups()
        if rule.order == "ymd" and len(year) == 2:
            day, year = year, day
        elif rule.order is None and len(year) == 2:
            raise Refused("may start with the day or the year; say the order of this column's dates")
    elif form is _MONTH_FIRST:
        month, day, year = found.groups()
    else:
        year, month, day = found.groups()
    return _day(_year(year, rule), _month_number(month), int(day), "day, month and year")


def _month_number(word: str) -> int:
    number = month_number(word)
    if number is None:
        raise Refused(f'names the month "{word}", which is not known here; write the month as a number')
    return number


def _year(written: str, rule: DateRule) -> int:
    if len(written) == 4:
        return int(written)
    if len(written) != 2:
        raise Refused("has no year with four digits; write the year in full")
    if rule.century is None:
        raise Refused(f"has the year {written}; write it with four digits, or say the century in the mapping")
    return rule.century + int(written)


def _day(year: int, month: int, day: int, read_as: str) -> date:
    try:
        found = date(year, month, day)
    except ValueError:
        raise Refused(
            f"is no day of the calendar (read as {read_as}: year {year}, month {month}, day {day}); correct "
            "it, or the order in the mapping if the whole column has another"
        ) from None
    return _in_calendar(found)


def _in_calendar(day: date) -> date:
    if not EARLIEST_YEAR <= day.year <= LATEST_YEAR:
        raise Refused(f"is in the year {day.year}; correct the date")
    return day


def _bare(number: float, rule: DateRule) -> WrittenDate:
    """Take a date that is one number, where the mapping says what such a number means."""
    whole = int(number) if 0 <= number < LARGEST_BARE else -1
    if rule.bare_date == "yyyymmdd" and number == whole and 10_000_000 <= whole <= 99_999_999:
        return WrittenDate(_day(whole // 10_000, whole // 100 % 100, whole % 100, "yyyymmdd"))
    zero = _SERIAL_ZERO.get(rule.bare_date or "")
    if zero is not None and FIRST_SURE_SERIAL <= whole < 200_000:
        share = number - whole
        return WrittenDate(_in_calendar(zero + timedelta(days=whole)), share or None)
    if 1000 <= whole <= 9999 and number == whole and rule.bare_date is None:
        raise Refused("may be a year alone, or days that a spreadsheet counts; write the day of the visit")
    raise Refused(
        "is a bare number, not a date; format the column as a date, or say in the mapping what such a number "
        "means (bare_date)"
    )
