"""Rows that are no visit: they raise no questions, and the mapping leaves them out with a reason."""

from itertools import chain
from pathlib import Path

import openpyxl
import pytest

from service.intake.mapping.read_rows import read_rows
from service.intake.propose.propose import propose
from service.intake.sheets.read_file import read_file
from tests.intake.propose.answers import PLACES, answered, asked, proposal_for, question

HEAD = "Site|Date|Time|Temp|pH"
GOOD = "oak-run|2025-03-12|9:40|8.5|7"


def fates(folder: Path, *rows: str, needed: list[str]) -> list[str]:
    """Return what becomes of each row: why it is left out, `taken`, or `refused`."""
    proposal = proposal_for(folder, "\n".join([HEAD, *rows]))
    assert asked(proposal, needed=True) == needed
    mapping = answered(proposal, {})
    with read_file(folder / "sheet.csv", mapping.file) as grid:
        read = list(read_rows(mapping, grid, PLACES))
    return [row.left_out or ("refused" if row.problems else "taken") for row in read]


@pytest.mark.parametrize(
    ("row", "why"),
    [
        (HEAD, "the row that names the columns, once more"),
        ("Average|||8.5|7", "a total or an average, not a visit"),
        ("Mean:|||8.5|7", "a total or an average, not a visit"),
        ("Week 4||||", "nothing was measured or counted in this row"),
        ("# the meter was new||||", "nothing was measured or counted in this row"),
    ],
)
def test_rows_between_the_visits_are_left_out(tmp_path: Path, row: str, why: str) -> None:
    found = fates(tmp_path, GOOD, row, GOOD.replace("12", "13"), needed=["/when/zone", "/readings/0"])
    assert found == ["taken", why, "taken"]


def test_units_below_the_head_are_taken_for_it(tmp_path: Path) -> None:
    found = fates(tmp_path, "|||°C|", GOOD, needed=["/when/zone"])
    assert found == ["the row below the head that names the units", "taken"]


def test_what_the_row_of_units_says_more_is_asked_about(tmp_path: Path) -> None:
    proposal = proposal_for(tmp_path, f"{HEAD}\n|||air °C|\n{GOOD}")
    assert "air" in question(proposal, "/readings/0").question


def test_a_site_that_is_named_like_a_total_stays_where_it_has_a_date(tmp_path: Path) -> None:
    proposal = proposal_for(tmp_path, f"{HEAD}\nTotal|2025-03-12|9:40|8.5|7")
    assert question(proposal, "/site/values").fill_in == {"Total": None}
    assert "only" not in proposal.mapping


@pytest.mark.parametrize(
    ("cells", "columns"),
    [
        (("oak-run|2025-03-12|9:40", "oak-run||9:50", "mill-creek-1||10:00"), ["Date"]),
        (("oak-run|2025-03-12|9:40", "||", "mill-creek-1|2025-03-13|9:40"), ["Site", "Date", "Time"]),
    ],
)
def test_what_is_written_once_for_several_rows_may_be_carried_down(
    tmp_path: Path, cells: tuple[str, ...], columns: list[str]
) -> None:
    rows = list(chain.from_iterable([f"{cell}|8.5|7"] for cell in cells))
    proposal = proposal_for(tmp_path, "\n".join([HEAD, *rows]))
    found = question(proposal, "/carried_down")
    assert not found.needed
    assert found.choices[0].value == columns
    assert "first is row 3" in found.question


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (
            "Taxon|Oak Run|Mill Creek below the weir\nBaetidae|3|4\nPerlidae|1|0",
            "The sites stand side by side",
        ),
        ("What|2025-03-12|2025-03-13\nWater temperature|8|9\npH|7|7\nDissolved oxygen|9|9", "Turn the sheet"),
    ],
)
def test_a_sheet_that_lies_on_its_side_is_to_be_turned(tmp_path: Path, text: str, told: str) -> None:
    proposal = proposal_for(tmp_path, text)
    assert asked(proposal) == ["/readings"]
    assert told in question(proposal, "/readings").question


def test_rows_are_told_by_a_column_that_can_be_read(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    for row in (HEAD.split("|"), [None, None, "=1+1", "°C", None], ["oak-run", "2025-03-12", "=1+1", 8.5, 7]):
        book.active.append(row)
    book.save(tmp_path / "formula.xlsx")
    (rule,) = propose(tmp_path / "formula.xlsx", PLACES).mapping["only"]
    assert (rule["column"], rule["but_not"]) == ("Temp", ["°C"])
