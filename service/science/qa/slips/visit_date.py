"""Day and month exchanged: 4 March written as 3 April."""

from dataclasses import replace

from service.science.types import Visit

KIND = "day-and-month-exchanged"
SATURDAY = 5


def day_and_month_exchanged(visit: Visit) -> Visit | None:
    """Return the visit with day and month exchanged, ``None`` if that is no other date or no school day."""
    given = visit.observed_at
    if given.day > 12 or given.day == given.month:
        return None
    exchanged = given.replace(day=given.month, month=given.day)
    return replace(visit, observed_at=exchanged) if exchanged.weekday() < SATURDAY else None


def question(meant: Visit) -> str:
    """Return the sentence that asks about it."""
    return f"Did day and month change places? Then the visit was on {meant.observed_at:%Y-%m-%d}."
