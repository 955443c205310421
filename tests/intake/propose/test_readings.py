"""Readings, units and numbers: what a head says is taken, what it leaves open is asked."""

from pathlib import Path
from typing import Any

import pytest

from service.intake.propose.schemas import Proposal
from tests.intake.propose.answers import answered, asked, proposal_for, question, remarks, values


def sheet(folder: Path, head: str, *cells: str) -> Proposal:
    """Return the proposal for a sheet with one column of readings."""
    rows = "\n".join(f"oak-run|2025-03-{day}|9:40|{cell}" for day, cell in enumerate(cells, start=12))
    return proposal_for(folder, f"Site|Date|Time|{head}\n{rows}")


@pytest.mark.parametrize(
    ("head", "meant"),
    [
        ("pH", ("ph", "std units", None)),
        ("Water Temp (°C)", ("water_temperature", "degC", None)),
        ("temp [F]", ("water_temperature", "degF", None)),
        ("DO (mg/L)", ("dissolved_oxygen", "mg/L", None)),
        ("DO (%)", ("dissolved_oxygen_saturation", "%", None)),
        ("D.O. % sat", ("dissolved_oxygen_saturation", "%", None)),
        ("Nitrate (mg/L as N)", ("nitrate", "mg/L as N", None)),
        ("NO3 mg/L as NO3", ("nitrate", "mg/L as NO3", None)),
        ("Phosphate (µmol/L)", ("phosphate", "mg/L as P", 0.030973762)),
        ("Sp Cond (µS/cm)", ("specific_conductance", "uS/cm", None)),
        ("Turbidity (NTU)", ("turbidity", "NTU", None)),
        ("Water Depth (ft)", ("water_depth", "m", 0.3048)),
        ("E. coli (CFU/100 mL)", ("e_coli", "CFU/100 mL", None)),
        ("Hardness (dGH)", ("hardness", "dGH", None)),
    ],
)
def test_a_head_that_names_its_unit_is_taken(tmp_path: Path, head: str, meant: tuple[Any, ...]) -> None:
    (line,) = sheet(tmp_path, head, "7").mapping["readings"]
    assert (line["parameter"], line.get("unit"), line.get("times")) == meant


@pytest.mark.parametrize(
    ("head", "meant"),
    [
        ("Temperature", {("water_temperature", "degC"), ("water_temperature", "degF")}),
        ("wTemp", {("water_temperature", "degC"), ("water_temperature", "degF")}),
        ("DO", {("dissolved_oxygen", "mg/L"), ("dissolved_oxygen_saturation", "%")}),
        ("oxygen", {("dissolved_oxygen", "mg/L"), ("dissolved_oxygen_saturation", "%")}),
        ("turb", {("turbidity", "NTU")}),
        ("Turbidity (FNU)", {("turbidity", "NTU")}),
        ("Nitrate (mg/L)", {("nitrate", "mg/L as N"), ("nitrate", "mg/L as NO3")}),
        ("PO4", {("phosphate", "mg/L as P"), ("phosphate", "mg/L as PO4")}),
        ("cond", {("specific_conductance", "uS/cm"), ("specific_conductance", "mS/cm"),
                  ("conductivity", "uS/cm"), ("conductivity", "mS/cm")}),
        ("flow", {("current_velocity", "m/s"), ("discharge", "m3/s"), ("discharge", "L/s")}),
        ("transparency tube", {("transparency", "cm"), ("transparency", "in"), ("transparency", "m")}),
        ("Depth (m)", {("water_depth", "m")}),
    ],
)  # fmt: skip
def test_a_head_that_leaves_something_open_is_asked_about(
    tmp_path: Path, head: str, meant: set[tuple[str, str]]
) -> None:
    proposal = sheet(tmp_path, head, "0.7", "0.9")
    found = question(proposal, "/readings/0")
    assert found.needed
    assert "from 0.7 to 0.9" in found.question
    assert meant <= {(value["parameter"], value["unit"]) for value in values(found) if value}
    assert values(found)[-1] is None
    assert "unit" not in proposal.mapping["readings"][0]
    assert not proposal.complete
    assert answered(proposal, {}).readings[0].parameter == values(found)[0]["parameter"]


def test_a_unit_that_fits_two_parameters_leaves_both_open(tmp_path: Path) -> None:
    found = question(sheet(tmp_path, "cond (µS/cm)", "320"), "/readings/0")
    assert [(value["parameter"], value["unit"]) for value in values(found) if value] == [
        ("specific_conductance", "uS/cm"),
        ("conductivity", "uS/cm"),
    ]
    assert "25 degrees" in found.question


def test_micromolar_is_among_the_units_that_are_asked_about(tmp_path: Path) -> None:
    choices = values(question(sheet(tmp_path, "Nitrate", "20.56"), "/readings/0"))
    # 1 micromol of nitrogen weighs 14.007 micrograms (IUPAC abridged standard atomic weights 2021).
    assert {"column": "Nitrate", "parameter": "nitrate", "unit": "mg/L as N", "times": 0.014007} in choices


def test_a_nutrient_given_as_its_element_has_that_choice_first(tmp_path: Path) -> None:
    choices = values(question(sheet(tmp_path, "NO3-N", "1.2"), "/readings/0"))
    assert choices[0]["unit"] == "mg/L as N"


def test_the_kit_is_asked_for_and_may_stay_open(tmp_path: Path) -> None:
    found = question(sheet(tmp_path, "pH", "7"), "/readings/0/kit")
    assert not found.needed
    assert {"ph-meter", "ph-comparator-wide", None} <= set(values(found))


@pytest.mark.parametrize("head", ["Secchi (cm)", "Chlorophyll a", "lat", "Longitude", "light"])
def test_what_this_network_does_not_measure_is_told_and_not_read(tmp_path: Path, head: str) -> None:
    proposal = sheet(tmp_path, f"pH|{head}", "7|45")
    assert [line["column"] for line in proposal.mapping["readings"]] == ["pH"]
    assert "not read" in remarks(proposal, head)


@pytest.mark.parametrize(
    ("cells", "told"),
    [
        (("-0.5", "0.2"), "numbers below zero: 1, the first is -0.5 in row 2"),
        (("<0.5", "7"), "only limits: 1, such as <0.5 in row 2"),
        (("7", "60+"), "60+ in row 3"),
        (("7", "≤5"), "≤ leave open"),
    ],
)
def test_numbers_to_look_at_are_told(tmp_path: Path, cells: tuple[str, ...], told: str) -> None:
    assert told in remarks(sheet(tmp_path, "Turbidity (NTU)", *cells), "Turbidity (NTU)")


def test_many_readings_at_the_same_ceiling_are_told_and_a_flag_is_offered(tmp_path: Path) -> None:
    rows = [f"{2419.6 if day < 6 else 10 + day}|{'TRUE' if day < 4 else 'FALSE'}" for day in range(9)]
    proposal = sheet(tmp_path, "E. coli (MPN/100 mL)|Flag", *rows)
    assert "exactly 2419.6, the largest of all: 6 values" in remarks(proposal, "E. coli (MPN/100 mL)")
    found = question(proposal, "/readings/0/censored")
    assert values(found)[0] == {"column": "Flag", "values": {"FALSE": "", "TRUE": ">"}}


@pytest.mark.parametrize(
    ("marks", "about", "words"),
    [(("NA", "."), "/file/missing", [".", "NA"]), (("nd",), "/file/not_detected", ["nd"])],
)
def test_marks_in_cells_of_readings_are_asked_about(
    tmp_path: Path, marks: tuple[str, ...], about: str, words: list[str]
) -> None:
    found = question(sheet(tmp_path, "pH", "7", *marks), about)
    assert found.needed
    assert values(found)[0] == words
    assert f'"{marks[0]}" (1 times)' in found.question


@pytest.mark.parametrize(
    ("cells", "decimal", "asks"),
    [
        (("7,5", "8,25"), ",", False),
        (("7,5", "8.25"), None, True),
        (("1,234", "1,500"), None, True),
        (("7,5", "1,234"), ",", False),
        (("7.5", "8"), None, False),
    ],
)
def test_a_decimal_comma_is_settled_by_numbers_that_can_be_nothing_else(
    tmp_path: Path, cells: tuple[str, ...], decimal: str | None, asks: bool
) -> None:
    proposal = sheet(tmp_path, "Turbidity (NTU)", *cells)
    assert proposal.mapping["file"].get("decimal") == decimal
    assert ("/file/decimal" in asked(proposal, needed=True)) is asks


def test_two_columns_of_one_name_go_by_their_numbers(tmp_path: Path) -> None:
    proposal = sheet(tmp_path, "pH|pH", "7|8")
    assert [line["column"] for line in proposal.mapping["readings"]] == [4, 5]
    assert "2 columns have this name" in proposal.columns[3].remarks[0]


def test_comments_of_a_reading_are_no_reading(tmp_path: Path) -> None:
    proposal = sheet(tmp_path, "pH|COM_COND", "7|meter was wet")
    assert len(proposal.mapping["readings"]) == 1
    assert values(question(proposal, "/notes"))[0] == [{"column": "COM_COND", "word": "COM_COND"}]


def test_the_units_of_air_are_asked_for_the_likelier_first(tmp_path: Path) -> None:
    found = question(sheet(tmp_path, "pH|Air Temp (°F)", "7|70"), "/conditions")
    assert values(found)[0]["air_temperature_unit"] == "degF"
