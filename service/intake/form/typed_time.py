"""From the day and the clock at the site to an instant; where the clock says too little, it is asked."""

import re
from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

from service.intake.form.typed_number import Ask

FOLD = "fold"  # the field that says which of two times with the same clock is meant
FIRST, SECOND = "first", "second"


class AskWhich(Ask):
    """The clock showed this time twice."""


def typed_day(text: str) -> date:
    """Return the day that was typed.

    Raises
    ------
    Ask
        It is none.
    """
    try:
        if re.fullmatch(r"\d{4}-\d{2}-\d{2}", text, re.ASCII):
            return date.fromisoformat(text)
    except ValueError:
        pass
    raise Ask("Write the day as year-month-day, such as 2026-03-12.")


def typed_clock(text: str) -> time:
    """Return the time of day that was typed.

    Raises
    ------
    Ask
        It is none.
    """
    found = re.fullmatch(r"(\d{1,2}):(\d{2})(?::\d{2})?", text, re.ASCII)
    if found is not None and int(found[1]) < 24 and int(found[2]) < 60:
        return time(int(found[1]), int(found[2]))
    raise Ask("Write the time as hours and minutes from 00:00 to 23:59, such as 9:40 or 14:05.")


def instant_at(on: date, clock: time, zone: str, fold: str) -> datetime:
    """Return the instant at which the clocks of a zone showed a time.

    Raises
    ------
    AskWhich
        They showed it twice, and ``fold`` does not say which is meant.
    Ask
        No clock showed it.
    """
    local = datetime.combine(on, clock)
    first, second = (local.replace(tzinfo=ZoneInfo(zone), fold=number) for number in (0, 1))
    if first.utcoffset() == second.utcoffset():
        return first
    shown = first.astimezone(UTC).astimezone(first.tzinfo).replace(tzinfo=None, fold=0)
    if shown != local:
        raise Ask(
            f"At {zone} the clocks were set forward over {clock:%H:%M} on this day, so no clock showed it. "
            "Look at the sheet again, and correct the time."
        )
    if fold not in {FIRST, SECOND}:
        raise AskWhich(
            f"At {zone} the clocks were set back on this day and showed {clock:%H:%M} twice. Choose which "
            "one is meant."
        )
    return first if fold == FIRST else second
