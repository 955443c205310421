"""Columns that say something of another: its unit, or that it is only a limit; marks instead of counts."""

from pathlib import Path
from typing import Any

import pytest

from tests.intake.propose.answers import answered, asked, proposal_for, question, values
from tests.intake.propose.test_readings import sheet


def test_a_column_of_units_is_read_row_by_row(tmp_path: Path) -> None:
    (line,) = sheet(tmp_path, "Temp|Unit", "8.5|C", "48|F").mapping["readings"]
    assert line == {
        "column": "Temp",
        "parameter": "water_temperature",
        "unit_column": {"column": "Unit", "values": {"C": "degC", "F": "degF"}},
    }


def test_words_that_are_no_units_of_the_reading_are_not(tmp_path: Path) -> None:
    (line,) = sheet(tmp_path, "Temp (C)|Group", "8.5|A", "9|C").mapping["readings"]
    assert line["unit"] == "degC"


@pytest.mark.parametrize(
    ("heads", "cells"),
    [("sign|Nitrate (mg/L as N)", ("<|0.5", "|2")), ("Nitrate (mg/L as N)|flag", ("0.5|U", "2|"))],
)
def test_signs_beside_a_reading_are_asked_about(tmp_path: Path, heads: str, cells: tuple[str, ...]) -> None:
    found = question(sheet(tmp_path, heads, *cells), "/readings/0/censored")
    assert found.needed
    assert "<" in values(found)[0]["values"].values()
    assert values(found)[1] is None


def test_signs_of_a_sheet_with_one_reading_a_row_are_asked_about(tmp_path: Path) -> None:
    head = "Site|Date|Time|Parameter|Result|Unit|Qualifier|MDL"
    rows = ("Nitrate as N|2|mg/L|=|0.1", "Nitrate as N||mg/L|ND|0.1", "Turbidity|3|NTU|=|0.1")
    text = "\n".join([head, *(f"oak-run|2025-03-12|9:40|{row}" for row in rows)])
    proposal = proposal_for(tmp_path, text)
    assert asked(proposal, needed=True) == ["/when/zone", "/long/censored"]
    long = answered(proposal, {}).long
    assert long is not None
    assert long.kinds["Nitrate as N|mg/L"].unit == "mg/L as N"
    assert long.censored is not None
    assert long.censored.values == {"=": "", "ND": "<"}


def test_a_column_that_says_another_basis_in_each_row_is_told(tmp_path: Path) -> None:
    head = "Site|Date|Time|Parameter|Value|Unit|Speciation"
    rows = ("Nitrate|2|mg/L|as N", "Nitrate|9|mg/L|as NO3")
    text = "\n".join([head, *(f"oak-run|2025-03-12|9:40|{row}" for row in rows)])
    told = question(proposal_for(tmp_path, text), "/long/kinds/Nitrate|mg~1L").question
    assert "as N in 1 rows, as NO3 in 1 rows" in told


def test_conductivity_in_rows_leaves_open_to_which_temperature_it_was_corrected(tmp_path: Path) -> None:
    text = "Site|Date|Time|Parameter|Value|Unit\noak-run|2025-03-12|9:40|Conductivity|320|uS/cm"
    found = question(proposal_for(tmp_path, text), "/long/kinds/Conductivity|uS~1cm")
    kinds = [value["parameter"] for value in values(found) if value]
    assert kinds == ["specific_conductance", "conductivity"]


@pytest.mark.parametrize(
    ("cells", "catch", "needed"),
    [
        (("x|", "X|x"), {"found_only": True}, []),
        (("R|C", "c|d"), {"letters": True}, []),
        (("A|B", "|C"), {"letters": True}, ["/catch/letter_words"]),
    ],
)
def test_marks_and_letters_in_columns_of_animals(
    tmp_path: Path, cells: tuple[str, ...], catch: dict[str, Any], needed: list[str]
) -> None:
    proposal = sheet(tmp_path, "Mayfly|Stonefly", *cells)
    assert catch.items() <= proposal.mapping["catch"].items()
    assert [line["taxon"] for line in proposal.mapping["catch"]["columns"]] == ["Mayfly", "Stonefly"]
    assert [about for about in asked(proposal, needed=True) if about != "/when/zone"] == needed


def test_animals_are_found_by_their_names_and_the_counts_are_asked_for(tmp_path: Path) -> None:
    proposal = sheet(tmp_path, "Final|Howmany", "Baetidae|3", "Perlidae|4")
    assert proposal.mapping["catch"]["taxon"] == "Final"
    assert values(question(proposal, "/catch/count")) == ["Howmany"]


def test_a_column_that_is_called_animals_is_taken_though_its_names_are_not_known(tmp_path: Path) -> None:
    proposal = sheet(tmp_path, "Tierart|Anzahl", "Eintagsfliegenlarve|3", "Bachflohkrebs|4")
    assert proposal.mapping["catch"] == {"taxon": "Tierart", "count": "Anzahl"}
    assert proposal.taxa is not None
    assert (proposal.taxa.names, proposal.taxa.known) == (2, 0)


@pytest.mark.parametrize(
    ("cells", "file", "needed"),
    [
        (("1.200|7,5", "2.400|7"), {"decimal": ",", "thousands": "."}, False),
        (("1.200|7", "2.400|7"), {}, True),
        (("1.200|7", "0.125|7"), {}, False),
    ],
)
def test_a_point_before_three_digits_is_no_decimal_sign_for_certain(
    tmp_path: Path, cells: tuple[str, ...], file: dict[str, str], needed: bool
) -> None:
    proposal = sheet(tmp_path, "E. coli (CFU/100 mL)|pH", *cells)
    assert {name: one for name, one in proposal.mapping["file"].items() if name != "separator"} == file
    assert ("/file/decimal" in asked(proposal, needed=True)) is needed
