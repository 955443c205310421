from contextlib import suppress
from datetime import date, datetime, time, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.intake.mapping.cell_problem import Refused
from service.intake.mapping.written.dates import DateRule, WrittenDate, day_of_parts, read_date
from tests.intake.mapping.refusals import refusal

DMY, MDY, YMD, OPEN = DateRule("dmy"), DateRule("mdy"), DateRule("ymd"), DateRule()
SHORT = DateRule("mdy", century=2000)


@pytest.mark.parametrize(
    ("written", "rule", "day"),
    [
        ("2026-03-12", OPEN, "2026-03-12"),
        ("2026-03-12", DMY, "2026-03-12"),  # the year comes first in full: ISO 8601 knows no other order
        ("2026/3/4", MDY, "2026-03-04"),
        ("2026.03.04", YMD, "2026-03-04"),
        ("3/4/2026", MDY, "2026-03-04"),
        ("3/4/2026", DMY, "2026-04-03"),
        ("03.04.2026", DMY, "2026-04-03"),
        ("3-4-2026", DMY, "2026-04-03"),
        ("03 / 04 / 2026", DMY, "2026-04-03"),
        ("1/11/17", SHORT, "2017-01-11"),
        ("1/11/71", DateRule("mdy", century=1900), "1971-01-11"),
        ("26-03-04", DateRule("ymd", century=2000), "2026-03-04"),
        ("12 March 2026", OPEN, "2026-03-12"),
        ("12 Mar 2026", OPEN, "2026-03-12"),
        ("12-Mar-2026", MDY, "2026-03-12"),
        ("12. Mar. 2026", OPEN, "2026-03-12"),
        ("1 Sept 2025", OPEN, "2025-09-01"),
        ("1 Sep 2025", OPEN, "2025-09-01"),
        ("March 12, 2026", OPEN, "2026-03-12"),
        ("MAR 12 2026", OPEN, "2026-03-12"),
        ("2026-Mar-12", OPEN, "2026-03-12"),
        ("12-Mar-25", DateRule("dmy", century=2000), "2025-03-12"),
        ("12-Mar-25", DateRule("ymd", century=2000), "2012-03-25"),
        ("May 14th, 2026", OPEN, "2026-05-14"),
        ("1st May 2026", OPEN, "2026-05-01"),
        ("Thu 14 May 2026", OPEN, "2026-05-14"),
        ("Thursday, May 14, 2026", OPEN, "2026-05-14"),
        ("29 Feb 2024", OPEN, "2024-02-29"),  # leap years of the Gregorian calendar: ISO 8601-1, 4.2.1
        # Names of months in German, French, Spanish and Portuguese: common practice.
        ("4. März 2026", OPEN, "2026-03-04"),
        ("12 Dez. 2026", OPEN, "2026-12-12"),
        ("4 mars 2026", OPEN, "2026-03-04"),
        ("1er août 2026 9h05", OPEN, "2026-08-01"),
        ("4 de marzo de 2026", OPEN, "2026-03-04"),
        ("4 de março de 2026", OPEN, "2026-03-04"),
        ("29.02.2000", DMY, "2000-02-29"),
        (date(2026, 3, 4), MDY, "2026-03-04"),
        (datetime(2026, 3, 4), DMY, "2026-03-04"),
    ],
)
def test_which_day_is_meant(written: object, rule: DateRule, day: str) -> None:
    assert read_date(written, rule).day == date.fromisoformat(day)


@pytest.mark.parametrize(
    ("written", "rule", "why"),
    [
        ("3/4/2026", OPEN, "may start with the day or with the month; say in the mapping which order"),
        (
            "13/4/2026",
            OPEN,
            "may start with the day or with the month",
        ),  # one order for all
        ("3/4/2026", YMD, "ends with the year"),
        ("13/04/2026", MDY, "read as month-day-year: year 2026, month 13, day 4"),
        ("04/13/2026", DMY, "read as day-month-year: year 2026, month 13, day 4"),
        ("31.06.2026", DMY, "is no day of the calendar"),
        ("29.02.2023", DMY, "is no day of the calendar"),
        (
            "29/02/1900",
            DMY,
            "is no day of the calendar",
        ),  # no leap year
        ("2026-00-10", OPEN, "is no day of the calendar"),
        ("0/5/2026", MDY, "is no day of the calendar"),
        ("1/11/17", MDY, "has the year 17; write it with four digits"),
        ("12 Mar 26", DMY, "has the year 26"),
        ("12-Mar-25", DateRule(century=2000), "may start with the day or the year"),
        ("3/4/226", MDY, "no year with four digits"),
        ("12 jui 2026", OPEN, 'names the month "jui"'),  # juin or juillet
        ("Fri 14 May 2026", OPEN, "names another day of the week than 2026-05-14 was"),
        ("12 Floréal 2026", OPEN, 'names the month "Floréal"'),
        ("12 Ma 2026", OPEN, "is not a date"),
        ("5/28-2019", MDY, "is not a date"),
        ("2026-03", OPEN, "is not a date"),
        ("spring", OPEN, "is not a date"),
        ("2026-03-12 morning", OPEN, "is not a date"),
        ("19690522/19780615", MDY, "is not a date"),
        ("2003", OPEN, "may be a year alone"),
        (2003, OPEN, "may be a year alone"),
        ("20250312", OPEN, "is a bare number"),
        (20250312, YMD, "is a bare number"),
        ("45000", OPEN, "is a bare number"),
        (45000.0, MDY, "is a bare number"),
        ("45000", DateRule(bare_date="yyyymmdd"), "is a bare number"),
        ("20251312", DateRule(bare_date="yyyymmdd"), "is no day of the calendar"),
        ("20250312.5", DateRule(bare_date="yyyymmdd"), "is a bare number"),
        ("250312", DateRule(bare_date="yyyymmdd"), "is a bare number"),
        (20250312, DateRule(bare_date="serial-1900"), "is a bare number"),
        (60, DateRule(bare_date="serial-1900"), "is a bare number"),  # a 29 February 1900 that never was
        ("12.03.1850", DMY, "is in the year 1850"),
        (date(1850, 3, 12), OPEN, "is in the year 1850"),
        ("12.03.2205", DMY, "is in the year 2205"),
        (True, OPEN, "is no date"),
        (time(7, 50), OPEN, "is no date"),
        ("1" * 61, OPEN, "too long"),
    ],
)
def test_what_is_refused_or_asked(written: object, rule: DateRule, why: str) -> None:
    assert why in refusal(read_date, written, rule)


@pytest.mark.parametrize(
    ("written", "system", "day"),
    [
        # ECMA-376 Part 1, 18.17.4.1: 38749 is 2006-02-01; first day of the 1904 system is 0.
        (38749, "serial-1900", "2006-02-01"),
        # Known pair of one day in both systems, 1462 days apart (manual of the program that has both).
        ("35981", "serial-1900", "1998-07-05"),
        ("34519", "serial-1904", "1998-07-05"),
        (61, "serial-1900", "1900-03-01"),
        (45000, "serial-1900", "2023-03-15"),
    ],
)
def test_days_that_a_spreadsheet_counts(written: object, system: str, day: str) -> None:
    assert read_date(written, DateRule(bare_date=system)).day == date.fromisoformat(day)


def test_a_spreadsheets_share_of_a_day_stays_beside_its_date() -> None:
    # ECMA-376 Part 1, 18.17.4.3: 3687.4207639 is 1910-02-03T10:05:54.
    day, share = read_date(3687.4207639, DateRule(bare_date="serial-1900"))
    assert (day, round(float(str(share)) * 86_400)) == (date(1910, 2, 3), 10 * 3600 + 5 * 60 + 54)


def test_eight_digits_where_the_mapping_says_so() -> None:
    assert read_date("20250312", DateRule(bare_date="yyyymmdd")).day == date(2025, 3, 12)


@pytest.mark.parametrize(
    ("written", "clock"),
    [
        ("2019-05-28T13:40:00Z", "13:40:00Z"),
        ("2019-05-28 13:40", "13:40"),
        ("2019-05-28, 9:40 AM", "9:40 AM"),
        ("5/12/2022 12:39", "12:39"),
        ("28 May 2019 9 am", "9 am"),
        ("2002-08-15 00:00:00.000", "00:00:00.000"),
        ("5/12/2022 0752", "0752"),
        ("2019-05-28", None),
        (datetime(2019, 5, 28, 13, 40), time(13, 40)),
        (date(2019, 5, 28), None),
    ],
)
def test_what_stands_behind_a_date(written: object, clock: object) -> None:
    assert read_date(written, MDY).clock == clock


def test_words_for_a_day() -> None:
    assert read_date(" trip  1", DateRule(days={"trip 1": date(2026, 5, 3)})) == WrittenDate(date(2026, 5, 3))


@pytest.mark.parametrize(
    ("year", "month", "day", "found"),
    [
        ("2026", "3", "12", "2026-03-12"),
        ("2026", "March", "1", "2026-03-01"),
        ("26", "02", "28", "2026-02-28"),
    ],
)
def test_a_date_in_three_columns(year: str, month: str, day: str, found: str) -> None:
    assert day_of_parts(year, month, day, DateRule(century=2000)) == date.fromisoformat(found)


@pytest.mark.parametrize(
    ("parts", "why"),
    [
        (("2026", "2", "30"), "is no day of the calendar"),
        (("2026", "2", "3rd"), "whole numbers"),
        (("2026", "-2", "3"), "whole numbers"),
        (("26", "2", "3"), "has the year 26"),
        (("2026", "Floréal", "3"), "which is not known here"),
    ],
)
def test_three_columns_that_are_no_date(parts: tuple[str, str, str], why: str) -> None:
    assert why in refusal(day_of_parts, *parts, OPEN)


DAYS = st.dates(date(1900, 1, 1), date(2199, 12, 31))


@settings(max_examples=50, deadline=None)
@given(DAYS, st.sampled_from("-/."))
def test_each_day_is_read_back_in_each_order(day: date, sign: str) -> None:
    for order, form in (("ymd", "%Y-%m-%d"), ("dmy", "%d-%m-%Y"), ("mdy", "%m-%d-%Y")):
        written = day.strftime(form).replace("-", sign)
        assert read_date(written, DateRule(order)).day == day


@settings(max_examples=50, deadline=None)
@given(DAYS.filter(lambda day: day >= date(1900, 3, 1)))
def test_each_day_is_read_back_from_its_number(day: date) -> None:
    number = (day - date(1899, 12, 30)) // timedelta(days=1)
    assert read_date(number, DateRule(bare_date="serial-1900")).day == day


@settings(max_examples=50, deadline=None)
@given(st.text(max_size=30))
def test_no_text_breaks_the_reader(written: str) -> None:
    with suppress(Refused):
        assert 1900 <= read_date(written, MDY).day.year <= 2199
