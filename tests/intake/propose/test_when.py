"""Dates and clocks: settled by the row that settles them, or asked; never guessed."""

from pathlib import Path

import pytest

from tests.intake.propose.answers import answered, asked, proposal_for, question, remarks, values

HEAD = "Site|Date|Time|pH\n"


def sheet(*cells: str, head: str = HEAD) -> str:
    return head + "\n".join(f"oak-run|{cell}|7" for cell in cells)


@pytest.mark.parametrize("dates", [("03/04/2025", "05/06/2025"), ("3.4.2025", "12.12.2025")])
def test_dates_that_may_be_read_both_ways_are_asked_about(tmp_path: Path, dates: tuple[str, str]) -> None:
    proposal = proposal_for(tmp_path, sheet(*(f"{day}|09:40" for day in dates)))
    found = question(proposal, "/when/order")
    assert found.needed
    assert found.column == "Date (column B)"
    assert values(found) == ["dmy", "mdy"]
    assert "3 April or 4 March" in found.question
    assert "order" not in proposal.mapping["when"]


@pytest.mark.parametrize(
    ("dates", "order", "told"),
    [
        (("03/04/2025", "13/06/2025"), "dmy", "row 3, 13/06/2025"),
        (("03/04/2025", "06/13/2025"), "mdy", "row 3, 06/13/2025"),
        (("31-12-2025",), "dmy", "row 2, 31-12-2025"),
    ],
)
def test_a_day_above_twelve_settles_the_order_and_its_row_is_told(
    tmp_path: Path, dates: tuple[str, ...], order: str, told: str
) -> None:
    proposal = proposal_for(tmp_path, sheet(*(f"{day}|09:40" for day in dates)))
    assert proposal.mapping["when"]["order"] == order
    assert told in remarks(proposal, "Date")
    assert "/when/order" not in asked(proposal)


def test_dates_that_disagree_are_asked_about_with_both_rows(tmp_path: Path) -> None:
    proposal = proposal_for(tmp_path, sheet("13/04/2025|9:40", "04/14/2025|9:40"))
    told = question(proposal, "/when/order").question
    assert "13/04/2025 in row 2" in told
    assert "04/14/2025 in row 3" in told


def test_dates_with_the_year_first_need_no_order(tmp_path: Path) -> None:
    proposal = proposal_for(tmp_path, sheet("2025-03-04|09:40"))
    assert asked(proposal, needed=True) == ["/when/zone"]


@pytest.mark.parametrize(
    ("cells", "about", "choices"),
    [
        ("1/31/17|9:40", "/when/century", [2000, 1900]),
        ("20250312|9:40", "/when/bare_date", ["yyyymmdd", "serial-1900", "serial-1904"]),
        ("45728|9:40", "/when/bare_date", ["yyyymmdd", "serial-1900", "serial-1904"]),
        ("2025-03-12|752", "/when/bare_clock", [True, False]),
    ],
)
def test_whole_numbers_and_short_years_are_asked_about(
    tmp_path: Path, cells: str, about: str, choices: list[object]
) -> None:
    found = question(proposal_for(tmp_path, sheet(cells)), about)
    assert found.needed
    assert values(found) == choices


def test_a_sheet_of_seasons_is_asked_for_the_day_of_each(tmp_path: Path) -> None:
    proposal = proposal_for(tmp_path, sheet("spring|9:40", "autumn|9:40"))
    found = question(proposal, "/when/days")
    assert found.fill_in == {"spring": None, "autumn": None}
    days = {"spring": "2025-03-20", "autumn": "2025-09-22"}
    assert answered(proposal, {"/when/days": days}).when.days.keys() == days.keys()


def test_a_sheet_without_any_date_is_asked_which_column_it_is(tmp_path: Path) -> None:
    proposal = proposal_for(tmp_path, "Site|Round|pH\noak-run|first|7\noak-run|second|8")
    assert "Round" in values(question(proposal, "/when/date"))


@pytest.mark.parametrize(
    ("rows", "told", "needed"),
    [
        (("2025-03-12|9:40", "2025-03-13|"), "1 of 2 rows", False),
        (("2025-03-12|", "2025-03-13|"), "2 of 2 rows", True),
        (("2025-03-12 00:00:00|", "2025-03-13 00:00:00|"), "2 of 2 rows", True),
    ],
)
def test_rows_without_a_time_of_day_are_told(
    tmp_path: Path, rows: tuple[str, ...], told: str, needed: bool
) -> None:
    found = question(proposal_for(tmp_path, sheet(*rows)), "/when/assumed_time")
    assert told in found.question
    assert found.needed is needed


def test_a_time_behind_the_date_is_seen(tmp_path: Path) -> None:
    proposal = proposal_for(tmp_path, "Site|Date|pH\noak-run|2025-03-12 09:40|7")
    assert asked(proposal, needed=True) == ["/when/zone"]


@pytest.mark.parametrize(
    ("head", "clock", "choices", "told"),
    [
        ("Time", "9:40", ["site"], "does not say which time zone"),
        ("Time (PST)", "9:40", ["UTC-08:00", "site"], "daylight"),
        ("Time UTC", "9:40", ["UTC", "site"], "UTC"),
        ("Time", "9:40Z", ["written", "site"], "stands Z"),
        ("Time", "9:40 CDT", [{"values": {"CDT": "UTC-05:00"}}, "site"], "stands CDT"),
    ],
)
def test_the_zone_is_asked_for_with_what_the_sheet_says_of_it(
    tmp_path: Path, head: str, clock: str, choices: list[object], told: str
) -> None:
    proposal = proposal_for(tmp_path, sheet(f"2025-07-12|{clock}", head=f"Site|Date|{head}|pH\n"))
    found = question(proposal, "/when/zone")
    assert found.needed
    assert values(found) == choices
    assert told in found.question


def test_a_column_of_zones_is_asked_what_its_letters_mean(tmp_path: Path) -> None:
    proposal = proposal_for(tmp_path, "Site|Date|Time|Time zone|pH\noak-run|2025-03-12|9:40|XYT|7")
    found = question(proposal, "/when/zone/values")
    assert found.fill_in == {"XYT": None}


def test_two_columns_of_dates_are_told(tmp_path: Path) -> None:
    proposal = proposal_for(tmp_path, "Site|Date|Sample date|pH\noak-run|2025-03-12|2025-03-13|7")
    assert values(question(proposal, "/when/date")) == ["Date", "Sample date"]


@pytest.mark.parametrize(
    ("head", "cell", "date"),
    [
        ("Year|Month|Day", "2025|3|12", {"year": "Year", "month": "Month", "day": "Day"}),
        ("Jahr|Monat|Tag", "2025|3|12", {"year": "Jahr", "month": "Monat", "day": "Tag"}),
        ("Date/Time", "45728.378", "Date/Time"),
        ("SMPDT", "20250312", "SMPDT"),
    ],
)
def test_dates_in_three_columns_and_in_numbers_are_seen(
    tmp_path: Path, head: str, cell: str, date: object
) -> None:
    proposal = proposal_for(tmp_path, f"Site|{head}|pH\noak-run|{cell}|7")
    assert proposal.mapping["when"]["date"] == date


def test_numbers_that_are_no_clock_are_not_asked_about_as_one(tmp_path: Path) -> None:
    proposal = proposal_for(tmp_path, sheet("2025-03-12|5", head="Site|Date|Net time (min)|pH\n"))
    assert "/when/bare_clock" not in asked(proposal)
    assert "time" not in proposal.mapping["when"]


def test_a_clock_written_with_a_point_is_asked_about_as_it_would_be_read(tmp_path: Path) -> None:
    assert (
        "Is that 9:05?"
        in question(proposal_for(tmp_path, sheet("2025-03-12|9.05")), "/when/bare_clock").question
    )
