"""The columns that a mapping names, in the head row of a sheet."""

from typing import Any

import pytest

from service.intake.mapping.read_rows import named_columns, read_rows
from service.intake.mapping.readers.head import letters
from service.intake.sheets.cell import Unreadable
from tests.intake.mapping.sheets import PLACES, grid_of, key_of, mapping_of, read_one, refused


@pytest.mark.parametrize(
    ("index", "shown"),
    [(0, "A"), (25, "Z"), (26, "AA"), (51, "AZ"), (52, "BA"), (701, "ZZ"), (702, "AAA"), (16383, "XFD")],
)
def test_letters_as_a_spreadsheet_shows_them(index: int, shown: str) -> None:
    # The last column of a sheet of 16,384 is XFD (ECMA-376 Part 1, 18.3.1.73).
    assert letters(index) == shown


@pytest.mark.parametrize("name", ["Site", " site ", "SITE", "S ite\n"])
def test_capitals_and_blanks_of_a_name_make_no_difference(name: str) -> None:
    head = f"{name}|Day|Clock|pH"
    mapping = mapping_of(site={"column": "S ite" if "S i" in name else "Site"})
    assert key_of(read_one(mapping, head, "elm-run", "2026-05-14", "9:40", "7")).site == "elm-run"


def test_a_column_by_its_number() -> None:
    mapping = mapping_of(site={"column": 1})
    assert key_of(read_one(mapping, "|Day|Clock|pH", "elm-run", "2026-05-14", "9:40", "7")).site == "elm-run"
    assert refused(read_one(mapping, "|Day|Clock|pH", "elm", "2026-05-14", "9:40", "7"))[0] == "column A"


def test_the_very_name_goes_before_one_with_other_capitals() -> None:
    row = read_one(mapping_of(), "site|Site|Day|Clock|pH", "oak-run", "elm-run", "2026-05-14", "9:40", "7")
    assert key_of(row).site == "elm-run"


@pytest.mark.parametrize(
    ("head", "parts", "told"),
    [
        ("Site|Day|Time|PH value", {}, 'The sheet has no column "Clock". The sheet has no column "pH".'),
        ("Sites|Day|Clock|pH", {}, 'The sheet has no column "Site"; did you mean Sites?'),
        ("Site|Day|Clock|pH|pH", {}, '"pH" stands above columns 4 and 5; name the one meant by its number.'),
        ("Site|Day|Clock|pH", {"apart": [9]}, "The mapping names column 9, but the sheet has 4 columns."),
        (
            "Site|Day|Clock|pH",
            {"apart": ["Spot"]},
            'The sheet\'s head row names "Site", "Day", "Clock", "pH".',
        ),
        ("", {"apart": ["Spot"]}, 'The sheet has no column "Spot".'),
        ("|".join(f"c{n}" for n in range(20)), {}, '"c11" and 8 more.'),
    ],
)
def test_columns_that_are_not_there_are_told_at_once(head: str, parts: dict[str, Any], told: str) -> None:
    with pytest.raises(Unreadable) as caught:
        read_rows(mapping_of(**parts), grid_of(head.split("|")), PLACES)
    assert told in caught.value.message


def test_all_columns_that_a_mapping_names() -> None:
    mapping = mapping_of(
        site={"column": 1},
        when={"date": {"year": "Y", "month": "M", "day": "D"}, "time": "T", "zone": {"column": "Z"}},
        team={"column": "Team"},
        kind={"column": "Kind"},
        apart=["Spot"],
        only=[{"column": "Project", "words": ["ours"], "why": "another project"}],
        readings=[
            {
                "column": "E. coli",
                "parameter": "e_coli",
                "unit_column": {"column": "Unit"},
                "censored": {"column": "Flag", "values": {"x": ">"}},
                "limit": {"column": "Limit"},
                "replicate": "No",
                "kit_column": {"column": "Kit"},
                "lot_column": {"column": "Box"},
                "procedure": {"tablets": "Tablets"},
            }
        ],
        catch={
            "taxon": "Animal",
            "count": "Count",
            "life_stage": {"column": "Stage"},
            "gear": {"column": "Net"},
            "minutes": {"column": "Minutes"},
            "sorted_share": {"column": "Sorted"},
        },
        conditions={"air_temperature": {"column": "Air"}, "weather": {"column": "Sky"}},
        notes=[{"column": "Remarks", "word": "Remarks"}],
    )
    assert set(named_columns(mapping)) == {
        1, "Y", "M", "D", "T", "Z", "Team", "Kind", "Spot", "Project", "E. coli", "Unit", "Flag", "Limit",
        "No", "Kit", "Box", "Tablets", "Animal", "Count", "Stage", "Net", "Minutes", "Sorted", "Air", "Sky",
        "Remarks",
    }  # fmt: skip


def test_all_columns_of_a_sheet_with_a_reading_a_row() -> None:
    long = {"parameter": "What", "value": "Result", "unit": "Unit", "kinds": {"pH|": {"parameter": "ph"}}}
    assert set(named_columns(mapping_of(long=long))) == {"Site", "Day", "Clock", "What", "Result", "Unit"}


def test_a_site_that_is_not_known_does_not_hinder_naming_the_columns() -> None:
    assert "pH" in named_columns(mapping_of(site={"value": "nowhere"}))
