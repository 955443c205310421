"""From a day and a clock to an instant, without a guess where the clock was set forward or back."""

import re
from datetime import UTC, datetime, timedelta, timezone, tzinfo
from functools import lru_cache
from zoneinfo import ZoneInfo

from service.intake.mapping.cell_problem import Refused

_OFFSET = re.compile(r"(?:UTC|GMT)?([+-])(0\d|1[0-4]):?([0-5]\d)", re.ASCII)
_ZERO = {"z", "utc", "gmt"}


@lru_cache(maxsize=1000)
def zone_of(name: str) -> tzinfo:
    """Return a zone by its name in the IANA list, or by its offset (UTC, UTC-08:00)."""
    offset = offset_of(name)
    return ZoneInfo(name) if offset is None else timezone(offset)


def offset_of(written: str) -> timedelta | None:
    """Return the offset from UTC that is written as Z, UTC or +05:30; ``None`` where it is another word."""
    if written.casefold() in _ZERO:
        return timedelta(0)
    found = _OFFSET.fullmatch(written)
    if found is None:
        return None
    size = timedelta(hours=int(found[2]), minutes=int(found[3]))
    return -size if found[1] == "-" else size


def instant_in(local: datetime, zone: tzinfo, fold: str | None) -> datetime:
    """Return the instant at which the clocks of a zone showed a time.

    Parameters
    ----------
    local : day and time as the clock showed it, without a zone
    zone : the zone of the clock
    fold : ``first`` or ``second`` of two instants with the same clock; ``None``: such are refused

    Raises
    ------
    Refused
        No clock of the zone showed this time, or it did so twice.
    """
    first, second = (local.replace(tzinfo=zone, fold=number) for number in (0, 1))
    if first.utcoffset() == second.utcoffset():
        return first
    if _round_trip(first) != local:
        raise Refused(
            f"is a time that no clock showed: at {zone} the clocks were set forward over it; correct it "
            "or give the zone that the clock was really on"
        )
    if fold is None:
        raise Refused(
            f"is a time that the clocks at {zone} showed twice, for they were set back; say in the mapping "
            "which is meant (fold: first or second), or write the offset"
        )
    return first if fold == "first" else second


def instant_as_written(local: datetime, written: str, zone: tzinfo, fold: str | None) -> datetime:
    """Return the instant of a time behind which an offset or letters stand that must agree with the zone.

    Raises
    ------
    Refused
        What is written is not what the clocks of the zone showed then.
    """
    offset = offset_of(written)
    for number in (0, 1):
        instant = local.replace(tzinfo=zone, fold=number)
        if _round_trip(instant) == local and (
            instant.utcoffset() == offset
            if offset is not None
            else (instant.tzname() or "").casefold() == written.casefold()
        ):
            return instant
    shown = instant_in(local, zone, fold or "first")
    raise Refused(
        f'says "{written}" behind the time, but at {zone} the clocks were {offset_text(shown)} from UTC; '
        "correct the mapping's zone, or say there that what is written is wrong (written_offset_is_wrong)"
    )


def _round_trip(instant: datetime) -> datetime:
    return instant.astimezone(UTC).astimezone(instant.tzinfo).replace(tzinfo=None, fold=0)


def offset_text(instant: datetime) -> str:
    """Return the offset of an instant as ISO 8601 writes it, without the seconds that some had long ago."""
    return instant.strftime("%z")[:3] + ":" + instant.strftime("%z")[3:5]
