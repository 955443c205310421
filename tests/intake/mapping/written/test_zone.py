"""Outside facts: the IANA time zone database (2026a) for New York, Lord Howe and Chicago."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.intake.mapping.written.zone import instant_as_written, instant_in, offset_of, zone_of
from tests.intake.mapping.refusals import refusal

NEW_YORK = zone_of("America/New_York")


def local(text: str) -> datetime:
    return datetime.fromisoformat(text)


@pytest.mark.parametrize(
    ("name", "clock", "utc"),
    [
        ("America/New_York", "2026-03-08T01:59", "2026-03-08T06:59+00:00"),
        ("America/New_York", "2026-03-08T03:00", "2026-03-08T07:00+00:00"),
        ("America/New_York", "2026-07-01T12:00", "2026-07-01T16:00+00:00"),
        ("America/New_York", "2026-11-01T00:59", "2026-11-01T04:59+00:00"),
        ("America/New_York", "2026-11-01T02:00", "2026-11-01T07:00+00:00"),
        ("America/New_York", "2024-02-29T12:00", "2024-02-29T17:00+00:00"),
        ("UTC-08:00", "2026-07-01T12:00", "2026-07-01T20:00+00:00"),
        ("UTC+05:45", "2026-07-01T12:00", "2026-07-01T06:15+00:00"),
        ("UTC", "2026-07-01T12:00", "2026-07-01T12:00+00:00"),
    ],
)
def test_which_instant_a_clock_shows(name: str, clock: str, utc: str) -> None:
    assert instant_in(local(clock), zone_of(name), None) == datetime.fromisoformat(utc)


@pytest.mark.parametrize(
    ("name", "clock"),
    [
        ("America/New_York", "2026-03-08T02:00"),
        ("America/New_York", "2026-03-08T02:59:59"),
        ("Australia/Lord_Howe", "2026-10-04T02:15"),  # set forward by half an hour
    ],
)
def test_a_time_that_no_clock_showed_is_refused(name: str, clock: str) -> None:
    assert "no clock showed" in refusal(instant_in, local(clock), zone_of(name), "first")


@pytest.mark.parametrize("clock", ["2026-11-01T01:00", "2026-11-01T01:30", "2026-11-01T01:59:59"])
def test_a_time_that_came_twice_is_asked_about(clock: str) -> None:
    assert "showed twice" in refusal(instant_in, local(clock), NEW_YORK, None)


@pytest.mark.parametrize(("fold", "offset_hours"), [("first", -4), ("second", -5)])
def test_which_of_the_two_is_meant(fold: str, offset_hours: int) -> None:
    instant = instant_in(local("2026-11-01T01:30"), NEW_YORK, fold)
    assert instant.utcoffset() == timedelta(hours=offset_hours)


@pytest.mark.parametrize(
    ("clock", "written", "utc"),
    [
        ("2026-07-01T09:40", "EDT", "2026-07-01T13:40+00:00"),
        ("2026-07-01T09:40", "-04:00", "2026-07-01T13:40+00:00"),
        ("2026-01-15T09:40", "EST", "2026-01-15T14:40+00:00"),
        ("2026-11-01T01:30", "EDT", "2026-11-01T05:30+00:00"),
        ("2026-11-01T01:30", "-05:00", "2026-11-01T06:30+00:00"),
    ],
)
def test_what_is_written_behind_agrees_and_tells_the_two_apart(clock: str, written: str, utc: str) -> None:
    instant = instant_as_written(local(clock), written, NEW_YORK, None)
    assert instant.astimezone(UTC) == datetime.fromisoformat(utc)


@pytest.mark.parametrize(
    ("clock", "written", "why"),
    [
        ("2026-07-01T09:40", "Z", "-04:00 from UTC"),
        ("2026-07-01T09:40", "EST", "-04:00 from UTC"),
        ("2026-07-01T09:40", "CDT", "-04:00 from UTC"),
        ("2026-11-01T01:30", "-07:00", "-04:00 from UTC"),
        ("2026-03-08T02:30", "EST", "no clock showed"),
    ],
)
def test_what_is_written_behind_and_is_not_so(clock: str, written: str, why: str) -> None:
    assert why in refusal(instant_as_written, local(clock), written, NEW_YORK, None)


@pytest.mark.parametrize(
    ("written", "minutes"),
    [
        ("Z", 0),
        ("z", 0),
        ("UTC", 0),
        ("GMT", 0),
        ("+05:30", 330),
        ("-0800", -480),
        ("UTC-08:00", -480),
        ("CDT", None),
        ("+25:00", None),
        ("-05:75", None),
    ],
)
def test_offsets_as_they_are_written(written: str, minutes: int | None) -> None:
    assert offset_of(written) == (None if minutes is None else timedelta(minutes=minutes))


SECONDS = st.integers(365 * 86_400, 67 * 365 * 86_400)


@settings(max_examples=50, deadline=None)
@given(SECONDS.map(lambda seconds: datetime(1970, 1, 1) + timedelta(seconds=seconds)))
def test_every_instant_is_found_again_by_its_clock_and_offset(moment: datetime) -> None:
    shown = moment.replace(tzinfo=UTC).astimezone(ZoneInfo("America/New_York"))
    clock = shown.replace(tzinfo=None, fold=0)
    found = instant_as_written(clock, shown.isoformat()[-6:], NEW_YORK, None)
    assert found.astimezone(UTC) == moment.replace(tzinfo=UTC)
