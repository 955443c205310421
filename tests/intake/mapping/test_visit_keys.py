"""Which visit a row belongs to: site, team, kind, and what tells visits apart."""

from dataclasses import replace
from typing import Any

import pytest

from service.intake.mapping.part import VisitKey
from service.intake.mapping.read_rows import read_rows
from service.intake.sheets.cell import Cell, Unreadable, Value
from tests.intake.mapping.sheets import (
    PLACES,
    grid_of,
    key_of,
    mapping_of,
    read_all,
    read_one,
    refused,
    said,
)

HEAD = "Site|Day|Clock|pH|Beside|More"
MOMENT = ("2026-05-14", "9:40", "7")


def read(written: Value | Cell, beside: Value = "", more: Value = "", /, **parts: Any) -> Any:
    return read_one(mapping_of(**parts), HEAD, written, *MOMENT, beside, more)


@pytest.mark.parametrize(
    ("written", "site"),
    [
        ("mill-creek-1", "mill-creek-1"),
        (" MILL-CREEK-1 ", "mill-creek-1"),
        ("Mill Creek at the bridge", "mill-creek-1"),
        ("mill creek  AT the bridge", "mill-creek-1"),
        ("Elm Run", "elm-run"),
        ("oak-run", "oak-run"),  # a code, though two sites have the name
    ],
)
def test_a_site_by_its_code_or_its_whole_name(written: str, site: str) -> None:
    assert key_of(read(written)).site == site


@pytest.mark.parametrize(
    ("written", "why"),
    [
        ("mill-creek-3", "did you mean mill-creek-2 or mill-creek-1?"),
        ("Mill Creek", "is no site that may be written to"),
        ("Oak Run", "is the name of oak-run and oak-run-2"),
        ("Grand Total", "is no site that may be written to. Correct it"),
        ("", "names no site"),
        (Cell("#N/A", "holds the error #N/A"), "holds the error #N/A"),
    ],
)
def test_a_site_that_is_not_found(written: Value | Cell, why: str) -> None:
    column, _, reason = refused(read(written))
    assert column == "Site (column A)"
    assert why in reason


WORDS = {"column": "Site", "values": {"Upstream": "mill-creek-2", "Weir": "mill-crek-2", "Pond": None}}


@pytest.mark.parametrize(
    ("written", "why"),
    [
        ("Weir", "means mill-crek-2, which is no site that may be written to; did you mean mill-creek-2"),
        ("Upstrem", "is a word that the mapping does not know; did you mean Upstream?"),
        ("Pond", "names no site"),
    ],
)
def test_words_of_the_sheet_for_sites_that_are_refused(written: str, why: str) -> None:
    assert why in refused(read(written, site=WORDS))[2]


def test_words_of_the_sheet_for_sites() -> None:
    assert key_of(read("upstream", site=WORDS)).site == "mill-creek-2"


def test_one_site_for_the_whole_sheet() -> None:
    assert key_of(read("", site={"value": "Elm Run"})).site == "elm-run"


def test_one_site_for_the_whole_sheet_that_there_is_not_is_told_before_any_row() -> None:
    with pytest.raises(Unreadable, match=r'mapping\'s site "elm-rum" is no site .* did you mean elm-run'):
        read_rows(mapping_of(site={"value": "elm-rum"}), grid_of(HEAD.split("|")), PLACES)


@pytest.mark.parametrize(
    ("parts", "beside", "key"),
    [
        ({}, "", ("", "routine", ())),
        ({"team": {"column": "Beside"}}, "Blue", ("blue", "routine", ())),
        ({"team": {"column": "Beside"}}, "", ("", "routine", ())),
        ({"team": {"column": "Beside"}}, 3.0, ("3", "routine", ())),
        (
            {"team": {"column": "Beside", "values": {"Group 3": "group-3"}}},
            "group  3",
            ("group-3", "routine", ()),
        ),
        ({"kind": {"column": "Beside"}}, "Field-Blank", ("", "field-blank", ())),
        (
            {"kind": {"column": "Beside", "values": {"D": "field-replicate"}}},
            "d",
            ("", "field-replicate", ()),
        ),
        (
            {"kind": {"column": "Beside", "values": {"D": "field-replicate"}, "refuse_others": False}},
            "x",
            ("", "routine", ()),
        ),
        ({"kind": {"value": "field-blank"}}, "", ("", "field-blank", ())),
        ({"apart": ["Beside", "More"]}, 2.0, ("", "routine", ("2", ""))),
    ],
)
def test_team_kind_and_what_tells_visits_apart(
    parts: dict[str, Any], beside: Value, key: tuple[str, str, tuple[str, ...]]
) -> None:
    found = key_of(read("elm-run", beside, **parts))
    assert (found.team, found.kind, found.apart) == key


@pytest.mark.parametrize(
    ("parts", "beside", "why"),
    [
        ({"team": {"column": "Beside"}}, "Group 3", "cannot be a team's code"),
        ({"kind": {"column": "Beside"}}, "rutine", "did you mean routine?"),
        (
            {"kind": {"column": "Beside", "values": {"D": "field-replicate"}}},
            "X",
            "does not know. Correct it",
        ),
    ],
)
def test_what_is_refused(parts: dict[str, Any], beside: Value, why: str) -> None:
    column, _, reason = refused(read("elm-run", beside, **parts))
    assert column == "Beside (column E)"
    assert why in reason


def test_keys_are_in_order_of_time_and_so_are_their_texts() -> None:
    early = VisitKey("2026-05-14T13:40:00Z", "oak-run", "-05:00")
    late = VisitKey("2026-05-14T13:41:00Z", "elm-run", "-05:00", "blue", "routine", ('a"b', "ü"))
    assert sorted([late, early]) == [early, late]
    assert sorted([late.as_json(), early.as_json()]) == [early.as_json(), late.as_json()]
    assert [VisitKey.from_json(key.as_json()) for key in (early, late)] == [early, late]


ONLY = {"column": "Beside", "why": "another project"}


@pytest.mark.parametrize(
    ("only", "beside", "wanted"),
    [
        ({**ONLY, "words": ["ours", "both"]}, "Ours", True),
        ({**ONLY, "words": ["ours", "both"]}, "theirs", False),
        ({**ONLY, "words": ["ours"]}, "", False),
        ({**ONLY, "words": ["ours", ""]}, "", True),
        ({**ONLY, "words": ["ours", ""]}, "NA", True),
        ({**ONLY, "but_not": ["theirs"]}, "THEIRS", False),
        ({**ONLY, "but_not": ["theirs"]}, "", True),
        ({**ONLY, "but_not": [""]}, "NA", False),
        ({**ONLY, "but_not": ["NA"]}, "NA", False),
        ({**ONLY, "at_most": 1}, "1.0", True),
        ({**ONLY, "at_most": 1}, "1.1", False),
        ({**ONLY, "at_least": 2, "at_most": 3}, 2, True),
        ({**ONLY, "at_least": 2, "at_most": 3}, 1.9, False),
        ({**ONLY, "at_most": 1}, "NA", False),
    ],
)
def test_which_rows_are_wanted(only: dict[str, Any], beside: Value, wanted: bool) -> None:
    row = read("elm-run", beside, only=[only], file={"missing": ["NA"]})
    assert (row.part is not None, row.left_out) == (wanted, "" if wanted else "another project")


@pytest.mark.parametrize(
    ("beside", "why"), [("deep", "is not a number"), (Cell("=A1", "holds a formula"), "holds a formula")]
)
def test_what_cannot_be_told_is_refused_not_left_out(beside: Value | Cell, why: str) -> None:
    row = read_one(mapping_of(only=[{**ONLY, "at_most": 1}]), HEAD, "elm-run", *MOMENT, beside, "")
    assert why in refused(row)[2]


def test_a_row_that_is_left_out_is_not_read_at_all() -> None:
    assert said(read("", "theirs", only=[{**ONLY, "but_not": ["theirs"]}])) == []


def test_rows_keep_the_numbers_that_the_sheet_shows() -> None:
    rows = read_all(mapping_of(), HEAD, ("elm-run", *MOMENT), ("elm-run", "", "", "7"), ("elm-run",))
    assert [(row.number, bool(row.part), len(row.problems), bool(row.left_out)) for row in rows] == [
        (2, True, 0, False),
        (3, False, 2, False),
        (4, False, 0, True),
    ]


def test_cells_beyond_the_head_row_may_have_moved_others() -> None:
    row = read_one(mapping_of(), "Site|Day|Clock|pH", "elm-run", *MOMENT, "", "7.2")
    assert refused(row) == (
        "",
        "",
        "has 6 cells under 4 columns, so they may be shifted; look for a text that holds the sign between "
        "the columns",
    )
    assert read_one(mapping_of(), "Site|Day|Clock|pH", "elm-run", *MOMENT, "", "").part is not None


def test_in_a_workbook_a_remark_beside_the_table_moves_nothing() -> None:
    grid = replace(grid_of(["Site", "Day", "Clock", "pH"], ["elm-run", *MOMENT, "", "check!"]), sheet="May")
    (row,) = read_rows(mapping_of(), grid, PLACES)
    assert row.part is not None


def test_cells_that_are_written_once_for_several_rows() -> None:
    rows = read_all(
        mapping_of(carried_down=["Site", "Day", "Beside"], team={"column": "Beside"}),
        HEAD,
        ("elm-run", "2026-05-14", "9:40", "7", "", ""),
        ("", "", "9:50", "7.1", "red", ""),
        ("oak-run", "", "10:00", "7.2"),
    )
    keys = [key_of(row) for row in rows]
    assert [(key.site, key.instant, key.team) for key in keys] == [
        ("elm-run", "2026-05-14T14:40:00Z", ""),
        ("elm-run", "2026-05-14T14:50:00Z", "red"),
        ("oak-run", "2026-05-14T15:00:00Z", "red"),
    ]


def test_without_a_word_of_the_mapping_an_empty_cell_stays_empty() -> None:
    rows = read_all(mapping_of(), HEAD, ("elm-run", *MOMENT), ("", *MOMENT))
    assert [bool(row.problems) for row in rows] == [False, True]


def test_a_refused_row_still_names_its_visit() -> None:
    good, bad = read_all(mapping_of(), HEAD, ("elm-run", *MOMENT), ("elm-run", "2026-05-14", "9:40", "seven"))
    assert bad.part is None
    assert bad.key == key_of(good)


@pytest.mark.parametrize(
    "cells",
    [("elm", *MOMENT, "blue"), ("elm-run", "soon", "9:40", "7", "blue"), ("elm-run", *MOMENT, "Team 1")],
)
def test_a_refused_row_names_no_visit_where_that_cannot_be_read(cells: tuple[str, ...]) -> None:
    assert read_one(mapping_of(team={"column": "Beside"}), HEAD, *cells).key is None
