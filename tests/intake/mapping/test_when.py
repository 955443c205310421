from datetime import date, datetime, time
from typing import Any

import pytest

from service.intake.sheets.cell import Cell, Value
from tests.intake.mapping.sheets import key_of, mapping_of, read_one, refused, said, taken

HEAD = "Site|Day|Clock|pH|Zone"


def moment(
    when: dict[str, Any], day: Value, clock: Value = "", zone: Value = "", site: str = "mill-creek-1"
) -> str:
    key = key_of(read_one(mapping_of(when=when), HEAD, site, day, clock, "7", zone))
    return f"{key.instant} {key.offset}"


NY = {"date": "Day", "time": "Clock", "zone": "America/New_York"}
ONE_CELL = {"date": "Day", "zone": "America/New_York", "order": "mdy"}
SITE = {"date": "Day", "time": "Clock", "zone": "site"}
WRITTEN = {"date": "Day", "time": "Clock", "zone": "written"}
WORDS = {
    "date": "Day",
    "time": "Clock",
    "zone": {"column": "Zone", "values": {"CDT": "UTC-05:00", "EST": "UTC-05:00"}},
}
BEHIND = {"date": "Day", "time": "Clock", "zone": {"values": {"CDT": "UTC-05:00"}}}


@pytest.mark.parametrize(
    ("when", "day", "clock", "zone", "instant"),
    [
        (NY, "2026-05-14", "9:40", "", "2026-05-14T13:40:00Z -04:00"),
        (NY, "2026-01-14", "9:40:30", "", "2026-01-14T14:40:30Z -05:00"),
        (NY, date(2026, 5, 14), time(9, 40), "", "2026-05-14T13:40:00Z -04:00"),
        (NY, datetime(2026, 5, 14), 0.5, "", "2026-05-14T16:00:00Z -04:00"),
        (NY, "2026-05-14", "24:00", "", "2026-05-15T04:00:00Z -04:00"),  # ISO 8601: the next day's 0:00
        (NY, "2026-12-31", "24:00", "", "2027-01-01T05:00:00Z -05:00"),
        (NY, "2024-02-28", "24:00", "", "2024-02-29T05:00:00Z -05:00"),
        (NY, "2026-05-14", datetime(2026, 5, 14, 9, 40), "", "2026-05-14T13:40:00Z -04:00"),
        (NY, "2026-05-14", datetime(1899, 12, 30, 9, 40), "", "2026-05-14T13:40:00Z -04:00"),
        (NY, "2026-05-14", "00:00", "", "2026-05-14T04:00:00Z -04:00"),
        (NY, "2026-05-14", "9:40 EDT", "", "2026-05-14T13:40:00Z -04:00"),
        (SITE, "2026-05-14", "9:40", "", "2026-05-14T13:40:00Z -04:00"),
        ({**NY, "zone": "UTC-08:00"}, "2026-07-14", "9:40", "", "2026-07-14T17:40:00Z -08:00"),
        (WRITTEN, "2026-05-14", "9:40-05:00", "", "2026-05-14T14:40:00Z -05:00"),
        (WRITTEN, "2026-05-14", "9:40Z", "", "2026-05-14T09:40:00Z +00:00"),
        (WORDS, "2026-05-14", "9:40", " cdt", "2026-05-14T14:40:00Z -05:00"),
        (WORDS, "2026-05-14", "9:40", "UTC-06:00", "2026-05-14T15:40:00Z -06:00"),
        (WORDS, "2026-05-14", "9:40", "America/Chicago", "2026-05-14T14:40:00Z -05:00"),
        (BEHIND, "2026-05-14", "9:40 CDT", "", "2026-05-14T14:40:00Z -05:00"),
        (BEHIND, "2026-05-14", "9:40 +00:00", "", "2026-05-14T09:40:00Z +00:00"),
        ({**NY, "bare_clock": True}, "2026-05-14", "752", "", "2026-05-14T11:52:00Z -04:00"),
        (ONE_CELL, "5/12/2026 12:39", "", "", "2026-05-12T16:39:00Z -04:00"),
        (ONE_CELL, "2026-05-12T12:39", "", "", "2026-05-12T16:39:00Z -04:00"),
        (ONE_CELL, datetime(2026, 5, 12, 12, 39), "", "", "2026-05-12T16:39:00Z -04:00"),
        (ONE_CELL, "2026-05-12T16:39:00-04:00", "", "", "2026-05-12T20:39:00Z -04:00"),
        ({**ONE_CELL, "zone": "written"}, "2026-05-12T16:39Z", "", "", "2026-05-12T16:39:00Z +00:00"),
        ({**ONE_CELL, "midnight_is_a_time": True}, "2026-05-12 00:00", "", "", "2026-05-12T04:00:00Z -04:00"),
        ({**ONE_CELL, "bare_date": "serial-1900"}, 45000.25, "", "", "2023-03-15T10:00:00Z -04:00"),
        ({**NY, "fold": "second"}, "2026-11-01", "1:30", "", "2026-11-01T06:30:00Z -05:00"),
        ({**NY, "days": {"Trip 1": "2026-05-14"}}, "trip 1", "9:40", "", "2026-05-14T13:40:00Z -04:00"),
        (
            {**NY, "written_offset_is_wrong": True},
            "2026-05-14",
            "9:40Z",
            "",
            "2026-05-14T13:40:00Z -04:00",
        ),
    ],
)
def test_when_the_water_was_read(
    when: dict[str, Any], day: Value, clock: Value, zone: Value, instant: str
) -> None:
    assert moment(when, day, clock, zone) == instant


def test_each_site_has_its_own_clock() -> None:
    assert moment(SITE, "2026-05-14", "9:40", site="elm-run") == "2026-05-14T14:40:00Z -05:00"


@pytest.mark.parametrize(
    ("when", "cells", "column", "why"),
    [
        (NY, ("2026-05-14", "", ""), "Clock (column C)", "gives no time of day"),
        (NY, ("", "9:40", ""), "Day (column B)", "gives no date"),
        (NY, ("14/5/2026", "9:40", ""), "Day (column B)", "may start with the day"),
        (NY, ("2026-05-14", "25:00", ""), "Clock (column C)", "hours go from 0 to 23"),
        (NY, ("2026-03-08", "2:30", ""), "Clock (column C)", "no clock showed"),
        (NY, ("2026-11-01", "1:30", ""), "Clock (column C)", "showed twice"),
        (NY, ("2026-05-14", "9:40Z", ""), "Clock (column C)", 'says "Z" behind the time'),
        (NY, ("2026-05-14", Cell("=NOW()", "holds a formula"), ""), "Clock (column C)", "holds a formula"),
        (
            NY,
            ("2026-05-14", datetime(2026, 5, 15, 9, 40), ""),
            "Clock (column C)",
            "holds the day 2026-05-15",
        ),
        (WRITTEN, ("2026-05-14", "9:40+25:00", ""), "Clock (column C)", "is no offset from UTC"),
        (WRITTEN, ("2026-05-14", "9:40", ""), "Clock (column C)", "says no time zone"),
        (WRITTEN, ("2026-05-14", "9:40 CDT", ""), "Clock (column C)", "letters mean different zones"),
        (WRITTEN, ("2026-05-14", "late", ""), "Clock (column C)", "is no time of day"),
        (WORDS, ("2026-05-14", "9:40", ""), "Zone (column E)", "gives no time zone"),
        (WORDS, ("2026-05-14", "9:40", "CST"), "Zone (column E)", "does not explain; add it"),
        (WORDS, ("2026-05-14", "9:40", "../etc"), "Zone (column E)", "does not explain"),
        (WORDS, ("2026-05-14", "9:40", "Mars/Base"), "Zone (column E)", "does not explain"),
        (BEHIND, ("2026-05-14", "9:40", ""), "Clock (column C)", "says no time zone"),
        (BEHIND, ("2026-05-14", "9:40 PDT", ""), "Clock (column C)", "does not explain"),
        (ONE_CELL, ("5/12/2026", "", ""), "Day (column B)", "gives no time of day"),
        (ONE_CELL, ("2026-05-12 00:00:00.000", "", ""), "Day (column B)", "gives no time of day"),
        (ONE_CELL, (datetime(2026, 5, 12), "", ""), "Day (column B)", "gives no time of day"),
        (ONE_CELL, ("5/12/2026 25:10", "", ""), "Day (column B)", "hours go from 0 to 23"),
        (ONE_CELL, (45000, "", ""), "Day (column B)", "is a bare number"),
        (NY, ("2199-12-31", "24:00", ""), "Clock (column C)", "is in the year 2200"),
    ],
)
def test_what_is_asked_or_refused(
    when: dict[str, Any], cells: tuple[Value, Value, Value], column: str, why: str
) -> None:
    day, clock, zone = cells
    found = refused(read_one(mapping_of(when=when), HEAD, "mill-creek-1", day, clock, "7", zone))
    assert found[0] == column
    assert why in found[2]


@pytest.mark.parametrize(
    ("when", "day", "clock", "assumed"),
    [
        (NY, "2026-05-14", "", "10:00"),
        (NY, "2026-05-14", "NA", "10:00"),
        (ONE_CELL, "5/14/2026", "", "10:00"),
        (ONE_CELL, "2026-05-14 00:00:00.000", "", "10:00"),
        (NY, "2026-05-14", "9:40", ""),
    ],
)
def test_a_time_that_was_not_noted_is_taken_and_told(
    when: dict[str, Any], day: str, clock: str, assumed: str
) -> None:
    mapping = mapping_of(when={**when, "assumed_time": "10:00"}, file={"missing": ["NA"]})
    row = read_one(mapping, HEAD, "mill-creek-1", day, clock, "7", "")
    assert taken(row).assumed_time == assumed
    assert key_of(row).instant == ("2026-05-14T14:00:00Z" if assumed else "2026-05-14T13:40:00Z")


PARTS = {"date": {"year": "Y", "month": "M", "day": "D"}, "time": "Clock", "zone": "site"}


def test_a_date_in_three_columns() -> None:
    row = read_one(
        mapping_of(when=PARTS), "Site|Y|M|D|Clock|pH", "mill-creek-1", 2026.0, "May", 14, "9:40", "7"
    )
    assert key_of(row).instant == "2026-05-14T13:40:00Z"


def test_a_date_in_three_columns_that_is_not_whole() -> None:
    row = read_one(
        mapping_of(when=PARTS), "Site|Y|M|D|Clock|pH", "mill-creek-1", "2026", "", "31", "9:40", "7"
    )
    assert refused(row)[::2] == (
        "M (column C)",
        "gives no part of the date; write year, month and day of the visit",
    )


def test_everything_that_is_wrong_with_a_moment_is_told_at_once() -> None:
    row = read_one(mapping_of(when=WORDS), HEAD, "mill-creek-1", "31.6.2026", "7.50", "7", "MEZ")
    assert [column for column, _, _ in said(row)] == ["Day (column B)", "Clock (column C)", "Zone (column E)"]


def test_an_offset_of_long_ago_that_had_seconds_is_the_same_instant() -> None:
    # Until 1972-01-07 the clocks of Liberia were 44 minutes and 30 seconds behind (IANA time zone database).
    key = key_of(
        read_one(
            mapping_of(when={**NY, "zone": "Africa/Monrovia"}), HEAD, "elm-run", "1971-05-14", "9:40", "7"
        )
    )
    assert key.instant == "1971-05-14T10:24:30Z"
