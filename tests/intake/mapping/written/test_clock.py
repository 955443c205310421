from contextlib import suppress
from datetime import date, datetime, time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.intake.mapping.cell_problem import Refused
from service.intake.mapping.written.clock import Clock, read_clock
from tests.intake.mapping.refusals import refusal


def hms(hour: int, minute: int, second: int = 0) -> int:
    return hour * 3600 + minute * 60 + second


@pytest.mark.parametrize(
    ("written", "seconds"),
    [
        ("7:50", hms(7, 50)),
        ("07:50", hms(7, 50)),
        ("07:50:00", hms(7, 50)),
        ("07:50:59", hms(7, 50, 59)),
        ("00:00:00.000", 0),
        ("7h50", hms(7, 50)),
        ("7.50 Uhr", hms(7, 50)),
        ("07:50 Uhr", hms(7, 50)),
        ("9 Uhr", hms(9, 0)),
        ("9h", hms(9, 0)),
        ("0:05 hrs", hms(0, 5)),
        ("7 : 50", hms(7, 50)),
        ("9:40 AM", hms(9, 40)),
        ("9:40 pm", hms(21, 40)),
        ("9:40p.m.", hms(21, 40)),
        ("9.40 am", hms(9, 40)),
        ("9 am", hms(9, 0)),
        ("12:00 AM", 0),  # midnight and noon of the 12-hour clock: common practice
        ("12:00 PM", hms(12, 0)),
        ("12:30 am", hms(0, 30)),
        ("24:00", 86_400),  # ISO 8601: the end of a day
        ("24:00:00", 86_400),
        (time(7, 50), hms(7, 50)),
        (datetime(1899, 12, 30, 7, 50), hms(7, 50)),
        (0.3125, hms(7, 30)),
        (0, 0),
        # ECMA-376 Part 1, 18.17.4.2: the share 0.4207639 of a day is 10:05:54.
        (0.4207639, hms(10, 5, 54)),
        ("0.4207639", hms(10, 5, 54)),
    ],
)
def test_which_time_is_meant(written: object, seconds: int) -> None:
    assert read_clock(written) == Clock(seconds)


@pytest.mark.parametrize(
    ("written", "seconds"),
    [
        ("752", hms(7, 52)),
        ("7.52", hms(7, 52)),
        (752, hms(7, 52)),
        (752.0, hms(7, 52)),
        ("0752", hms(7, 52)),
        ("1305", hms(13, 5)),
        ("005", hms(0, 5)),
        ("2400", 86_400),
        ("7:52", hms(7, 52)),
        (0.5, hms(12, 0)),
    ],
)
def test_digits_alone_where_the_mapping_says_so(written: object, seconds: int) -> None:
    assert read_clock(written, bare=True) == Clock(seconds)


@pytest.mark.parametrize(
    ("written", "zone"),
    [
        ("13:40:00Z", "Z"),
        ("9:40 AM EDT", "EDT"),
        ("07:50 CDT", "CDT"),
        ("07:50-05:00", "-05:00"),
        ("07:50 +0530", "+0530"),
        ("07:50 UTC-08:00", "UTC-08:00"),
        ("07:50", ""),
    ],
)
def test_which_zone_is_written_behind(written: str, zone: str) -> None:
    assert read_clock(written).written_zone == zone


@pytest.mark.parametrize(
    ("written", "bare", "why"),
    [
        ("752", False, "is a bare number; write the time as 9:40"),
        ("7.52", False, "is no time of day"),
        ("7.5", True, "is no time of day"),
        (752, False, "is a bare number"),
        ("760", True, "hours go from 0 to 23"),
        ("2460", True, "hours go from 0 to 23"),
        ("9", True, "may be 9 o'clock or 9 minutes past midnight"),
        ("52", True, "may be 52 o'clock"),
        (0, True, "may be 0 o'clock"),
        ("12345", True, "is no time of day"),
        ("24:01", False, "hours go from 0 to 23"),
        ("25:00", False, "hours go from 0 to 23"),
        ("7:60", False, "hours go from 0 to 23"),
        ("07:50:60", False, "hours go from 0 to 23"),
        ("13:40 PM", False, "says 13 with am or pm"),
        ("0:40 am", False, "says 0 with am or pm"),
        ("7.50", False, "is no time of day"),
        ("7.50 EDT", False, "is no time of day"),
        ("7:5", False, "is no time of day"),
        ("9 EDT", False, "is no time of day"),
        ("0.40", False, "is no time of day"),  # 0:40, or a share of a day
        ("morning", False, "is no time of day"),
        ("7:50-8:10", False, "is no time of day"),
        (1.5, False, "is a number, not a time"),
        (-0.5, False, "is a number, not a time"),
        (45000.33, True, "is a number, not a time"),
        (True, True, "is no time of day"),
        (date(2026, 5, 1), False, "is no time of day"),
        ("7" * 41, False, "too long"),
    ],
)
def test_what_is_refused(written: object, bare: bool, why: str) -> None:
    assert why in refusal(read_clock, written, bare=bare)


@settings(max_examples=50, deadline=None)
@given(st.times(timezones=st.none()).map(lambda moment: moment.replace(microsecond=0)))
def test_each_time_is_read_back(moment: time) -> None:
    seconds = hms(moment.hour, moment.minute, moment.second)
    assert read_clock(moment.isoformat()).seconds == seconds
    assert read_clock(moment.strftime("%I:%M:%S %p")).seconds == seconds
    assert read_clock(seconds / 86_400).seconds == seconds


@settings(max_examples=50, deadline=None)
@given(st.text(max_size=20), st.booleans())
def test_no_text_breaks_the_reader(written: str, bare: bool) -> None:
    with suppress(Refused):
        assert 0 <= read_clock(written, bare=bare).seconds <= 86_400
