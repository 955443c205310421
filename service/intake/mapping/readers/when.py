"""Reads when the water of a row was read."""

from datetime import date, datetime, time, timedelta, tzinfo
from typing import NamedTuple

from service.core.schema import EARLIEST_YEAR, LATEST_YEAR
from service.intake.mapping.bodies.when import DateParts, WhenBody, ZoneWords
from service.intake.mapping.cell_problem import Refused
from service.intake.mapping.readers.head import Bound, Head
from service.intake.mapping.readers.open_row import OpenRow
from service.intake.mapping.written.clock import Clock, read_clock
from service.intake.mapping.written.dates import DateRule, WrittenDate, day_of_parts, read_date
from service.intake.mapping.written.words import plain_word, word_of
from service.intake.mapping.written.zone import instant_as_written, instant_in, offset_of, zone_of
from service.intake.sheets.cell import Value

LAST_YEAR_OF_NO_DAY = 1904  # a clock without a day stands on the first day that a spreadsheet knows
NO_TIME = "gives no time of day; write the time, or say in the mapping which is taken (assumed_time)"


class Moment(NamedTuple):
    """An instant with its offset; ``assumed_time`` is the time of day that was taken as none was noted."""

    instant: datetime
    assumed_time: str = ""


class WhenReader:
    """Reads date, clock and zone of a row."""

    def __init__(self, body: WhenBody, head: Head) -> None:
        self._body = body
        parts = body.date
        self._parts: tuple[Bound, ...] = ()
        if isinstance(parts, DateParts):
            self._parts = tuple(head.find(column) for column in (parts.year, parts.month, parts.day))
            self.bound = self._parts[0]
        else:
            self.bound = head.find(parts)
        self._clock_bound = head.find(body.time) if body.time is not None else None
        self._rule = DateRule(
            order=body.order.value if body.order else None,
            century=body.century,
            bare_date=body.bare_date,
            days={plain_word(word): day for word, day in body.days.items()},
        )
        words = body.zone if isinstance(body.zone, ZoneWords) else None
        self._zone_words = {plain_word(word): zone for word, zone in words.values.items()} if words else {}
        self._zone_bound = head.find(words.column) if words and words.column is not None else None
        self._assumed = read_clock(body.assumed_time) if body.assumed_time else None

    def read(self, row: OpenRow, site_zone: str) -> Moment | None:
        """Return when a row was read; ``None`` where that cannot be said, which is noted in the row.

        ``site_zone`` is the zone of the row's site, empty where the site is not known.
        """
        before = len(row.problems)
        written = self._read_date(row)
        clock = self._read_clock(row, written)
        zone_name = ""
        if self._zone_bound is not None or len(row.problems) == before:
            zone_name = self._zone_name(row, clock, site_zone)
        if written is None or not zone_name or len(row.problems) > before:
            return None
        try:
            instant = self._instant(written.day, clock or self._assumed, zone_name)
        except Refused as refused:
            row.refuse(self._clock_bound or self.bound, refused.reason)
            return None
        return Moment(instant, "" if clock else self._body.assumed_time or "")

    def _read_date(self, row: OpenRow) -> WrittenDate | None:
        if not self._parts:
            if row.is_missing(self.bound):
                row.refuse(self.bound, "gives no date; write the day of the visit")
                return None
            return row.take(self.bound, lambda value: read_date(value, self._rule))
        words = [row.take(bound, word_of) for bound in self._parts]
        if not all(words):
            for bound in self._parts:
                if row.is_missing(bound):
                    row.refuse(bound, "gives no part of the date; write year, month and day of the visit")
            return None
        year, month, day = (word or "" for word in words)
        try:
            return WrittenDate(day_of_parts(year, month, day, self._rule))
        except Refused as refused:
            row.refuse(self.bound, refused.reason)
            return None

    def _read_clock(self, row: OpenRow, written: WrittenDate | None) -> Clock | None:
        """Return the time of the clock's column; without such a column, what stands behind the date."""
        clock = None
        before = len(row.problems)
        if self._clock_bound is not None:
            day = written.day if written else None
            clock = row.take(self._clock_bound, lambda value: self._clock_of(value, day))
        elif written is not None and written.clock is not None:
            clock = self._clock_behind(row, written.clock)
        noted = clock is not None or self._assumed is not None or len(row.problems) > before
        if not noted and (written is not None or self._clock_bound is not None):
            row.refuse(self._clock_bound or self.bound, NO_TIME)
        return clock

    def _clock_behind(self, row: OpenRow, behind: Value) -> Clock | None:
        """Return the time that stands behind a date in its cell."""
        try:
            clock = self._clock_of(behind)
        except Refused as refused:
            row.refuse(self.bound, refused.reason)
            return None
        only_a_day = clock.seconds == 0 and not clock.written_zone and not self._body.midnight_is_a_time
        return None if only_a_day else clock

    def _clock_of(self, value: Value, day: date | None = None) -> Clock:
        held = value.date() if isinstance(value, datetime) and value.year > LAST_YEAR_OF_NO_DAY else day
        if day is not None and held != day:
            raise Refused(f"holds the day {held}, but the date of the row is {day}; correct one of them")
        return read_clock(value, bare=self._body.bare_clock)

    def _zone_name(self, row: OpenRow, clock: Clock | None, site_zone: str) -> str:
        """Return the zone of the row's clock by name; nothing where it is refused or not known."""
        zone = self._body.zone
        if self._zone_bound is not None:
            if row.is_missing(self._zone_bound):
                row.refuse(self._zone_bound, "gives no time zone; write the one of the clock")
            return row.take(self._zone_bound, lambda value: self._zone_of_word(word_of(value))) or ""
        if isinstance(zone, str) and zone not in {"site", "written"}:
            return zone
        if zone == "site":
            return site_zone
        written = clock.written_zone if clock else ""
        bound = self._clock_bound or self.bound
        if not written:
            row.refuse(bound, "says no time zone behind the time; write it, or give one in the mapping")
            return ""
        try:
            return self._zone_of_word(written) if isinstance(zone, ZoneWords) else _written_offset(written)
        except Refused as refused:
            row.refuse(bound, refused.reason)
            return ""

    def _zone_of_word(self, word: str) -> str:
        known = self._zone_words.get(plain_word(word))
        if known is not None:
            return known
        if offset_of(word) is not None:
            return _written_offset(word)
        if "/" in word:
            try:
                zone_of(word)
            except (ValueError, KeyError, OSError):
                pass
            else:
                return word
        raise Refused(
            f'says the zone "{word}", which the mapping does not explain; add it to the zone\'s values'
        )

    def _instant(self, day: date, clock: Clock | None, zone_name: str) -> datetime:
        assert clock is not None  # a row without any was refused
        local = datetime.combine(day, time()) + timedelta(seconds=clock.seconds)
        if not EARLIEST_YEAR <= local.year <= LATEST_YEAR:
            raise Refused(f"is in the year {local.year}; correct the date")
        zone: tzinfo = zone_of(zone_name)
        held = isinstance(self._body.zone, str) and self._body.zone != "written"
        if clock.written_zone and held and not self._body.written_offset_is_wrong:
            return instant_as_written(local, clock.written_zone, zone, self._body.fold)
        return instant_in(local, zone, self._body.fold)


def _written_offset(written: str) -> str:
    """Return an offset that stands behind a clock as the name of a zone."""
    offset = offset_of(written)
    if offset is None:
        raise Refused(
            f'says "{written}" behind the time, which is no offset from UTC; letters mean different zones in '
            "different places, so say in the mapping what they mean (zone: values)"
        )
    minutes = round(offset.total_seconds() / 60)
    return f"UTC{'-' if minutes < 0 else '+'}{abs(minutes) // 60:02d}:{abs(minutes) % 60:02d}"
