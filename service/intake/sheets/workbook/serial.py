"""Dates and times of day as a workbook keeps them: days since the end of 1899, or since 1904."""

from datetime import date, datetime, time, timedelta

from service.intake.sheets.workbook.frames import DATE, FAULT, MOMENT, TIME, Item
from service.intake.sheets.workbook.number_form import NumberForm, Shows

DAY_MILLISECONDS = 86_400_000
LAST_DAY = 2_958_465  # 31 December 9999
LEAP_1900 = 60  # 29 February 1900, which there never was, but spreadsheets count it
NO_DATE = "is formatted as a date, but its number is none; format the cell as what it is and type it anew"


def dated(number: float, form: NumberForm, *, from_1904: bool) -> Item:
    """Return the date, time of day or moment that a number stands for, as its format shows it."""
    milliseconds = round(number * DAY_MILLISECONDS)
    days, rest = divmod(milliseconds, DAY_MILLISECONDS)
    if form.shows is Shows.ELAPSED and days >= 1:
        minutes = milliseconds // 60_000
        return f"{minutes // 60}:{minutes % 60:02}"
    if form.shows in (Shows.TIME, Shows.ELAPSED):
        return [TIME, _time(rest)] if days >= 0 else _no_date(number)
    day = _day(days, from_1904=from_1904)
    if day is None:
        return _no_date(number)
    if form.shows is Shows.DATE and rest == 0:
        return [DATE, day.isoformat()]
    return [MOMENT, f"{day.isoformat()}T{_time(rest)}"]


def written_date(text: str) -> Item:
    """Return what a cell holds that keeps its date as text (ISO 8601), which few programs write."""
    try:
        if "T" in text:
            return [MOMENT, datetime.fromisoformat(text).replace(tzinfo=None).isoformat()]
        return [DATE, date.fromisoformat(text).isoformat()]
    except ValueError:
        return [FAULT, NO_DATE, text]


def _day(days: int, *, from_1904: bool) -> date | None:
    if from_1904:
        return date(1904, 1, 1) + timedelta(days) if 0 <= days <= LAST_DAY - 1462 else None
    if not 1 <= days <= LAST_DAY or days == LEAP_1900:
        return None
    return date(1899, 12, 31 if days < LEAP_1900 else 30) + timedelta(days)


def _time(milliseconds: int) -> str:
    whole = (datetime.min + timedelta(milliseconds=milliseconds)).time()
    return time(whole.hour, whole.minute, whole.second, whole.microsecond).isoformat()


def _no_date(number: float) -> Item:
    return [FAULT, NO_DATE, f"{number:.12g}"]
