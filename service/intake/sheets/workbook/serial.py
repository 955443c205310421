"""Dates and times of day as a workbook keeps them, to the nearest second.

Nearly all are days since the end of 1899, or since 1904; the strict form of ECMA-376 writes them as text.
"""

from datetime import date, datetime, time, timedelta

from service.intake.sheets.workbook.frames import DATE, FAULT, MOMENT, TIME, Item
from service.intake.sheets.workbook.number_form import NumberForm, Shows

DAY_SECONDS = 86_400
HALF_A_SECOND = timedelta(microseconds=500_000)
LAST_DAY = 2_958_465  # 31 December 9999
LEAP_1900 = 60  # 29 February 1900, which there never was, but spreadsheets count it
LENGTH_OF_A_DAY = len("2021-09-10")
OF_THE_DAY = (Shows.TIME, Shows.ELAPSED)
NO_DATE = "is formatted as a date, but its number is none; format the cell as what it is and type it anew"


def dated(number: float, form: NumberForm, *, from_1904: bool) -> Item:
    """Return the date, time of day or moment that a number stands for, as its format shows it."""
    seconds = round(number * DAY_SECONDS)
    days, rest = divmod(seconds, DAY_SECONDS)
    if form.shows is Shows.ELAPSED and days >= 1:
        minutes = seconds // 60
        return f"{minutes // 60}:{minutes % 60:02}"
    clock = (datetime.min + timedelta(seconds=rest)).time().isoformat()
    if form.shows in OF_THE_DAY and days >= 0:
        return [TIME, clock]
    day = _day(days, from_1904=from_1904)
    if day is None:
        return [FAULT, NO_DATE, f"{number:.12g}"]
    if form.shows is Shows.DATE and rest == 0:
        return [DATE, day.isoformat()]
    return [MOMENT, f"{day.isoformat()}T{clock}"]


def written_date(text: str, form: NumberForm) -> Item:
    """Return what a cell holds that keeps its date, time or moment as text (ISO 8601)."""
    try:
        if text[2:3] == ":":
            return [TIME, time.fromisoformat(text).isoformat("seconds")]
        moment = datetime.fromisoformat(text).replace(tzinfo=None) + HALF_A_SECOND
    except (ValueError, OverflowError):
        return [FAULT, NO_DATE, text]
    moment = moment.replace(microsecond=0)
    if form.shows in OF_THE_DAY:
        return [TIME, moment.time().isoformat()]
    if len(text) == LENGTH_OF_A_DAY or (form.shows is Shows.DATE and moment.time() == time()):
        return [DATE, moment.date().isoformat()]
    return [MOMENT, moment.isoformat()]


def _day(days: int, *, from_1904: bool) -> date | None:
    if from_1904:
        return date(1904, 1, 1) + timedelta(days) if 0 <= days <= LAST_DAY - 1462 else None
    if not 1 <= days <= LAST_DAY or days == LEAP_1900:
        return None
    return date(1899, 12, 31 if days < LEAP_1900 else 30) + timedelta(days)
