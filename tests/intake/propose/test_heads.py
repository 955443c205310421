"""What a head says: in five tongues, and with more words than the one that is known."""

from pathlib import Path

import openpyxl
import pytest

from service.intake.propose.head_words import Certainty, meaning_of
from service.intake.propose.propose import propose
from tests.intake.propose.answers import PLACES, answered, asked, proposal_for, question, remarks, values
from tests.intake.propose.test_readings import sheet


@pytest.mark.parametrize(
    ("head", "means"),
    [
        # What is written above such columns in schools: common practice.
        ("Wassertemperatur (°C)", "water_temperature"),
        ("Température de l'eau (°C)", "water_temperature"),
        ("Temperatura da água", "water_temperature"),
        ("Lufttemperatur", "air_temperature"),
        ("Température de l'air (°C)", "air_temperature"),
        ("Temp. do ar (ºC)", "air_temperature"),
        ("Outside temp (F)", "air_temperature"),
        ("Sauerstoffsättigung", "dissolved_oxygen_saturation"),
        ("Oxígeno disuelto (mg/L)", "dissolved_oxygen"),
        ("Leitfähigkeit", "conductivity"),
        ("Messstelle", "site"),
        ("StationID", "site"),
        ("Fecha de muestreo", "date"),
        ("# found", "count"),
        ("Biochemical oxygen demand (mg/L)", "not_ours"),
    ],
)
def test_what_a_head_seems_to_mean(head: str, means: str) -> None:
    found = meaning_of(head)
    assert found is not None
    assert (found.means, found.more) == (means, "")


@pytest.mark.parametrize(
    ("head", "more"),
    [
        ("Group 1 pH", ""),
        ("pH of the stream water", ""),
        ("Dissolved Oxygen in mg/L", ""),
        ("Rain pH", "rain"),
        ("Average temp (°C)", "average"),
        ("Temp (air) °C", "air"),
        ("Bodentemperatur", "bodentemperatur"),
    ],
)
def test_what_a_head_says_more(head: str, more: str) -> None:
    found = meaning_of(head)
    assert found is not None
    assert found.more == more


def test_a_part_of_a_word_is_never_sure() -> None:
    found = meaning_of("STRMTEMP")
    assert found is not None
    assert found.certainty is Certainty.MAYBE


@pytest.mark.parametrize(
    "head", ["Rain pH", "Average temp (°C)", "Nitrate limit (mg/L as N)", "Soil temp (C)"]
)
def test_a_head_that_says_more_is_asked_about_though_its_unit_is_known(tmp_path: Path, head: str) -> None:
    found = question(sheet(tmp_path, head, "7"), "/readings/0")
    assert found.needed
    assert "another thing" in found.question
    assert values(found)[-1] is None


def test_the_air_is_never_taken_for_the_water(tmp_path: Path) -> None:
    proposal = sheet(tmp_path, "Temp. Luft (°C)|Temp. Wasser (°C)", "15|8")
    assert [line["column"] for line in proposal.mapping["readings"]] == ["Temp. Wasser (°C)"]
    assert "/conditions" in asked(proposal, needed=False)


@pytest.mark.parametrize(
    ("heads", "asks"),
    [
        ("pH 1|pH 2", False),
        ("Group 1 pH|Group 2 pH", False),
        ("DO (mg/L)|DO (%)", False),
        ("pH|pH", True),
        ("Field temp (C)|Temp 2 (F)", True),
    ],
)
def test_a_second_column_of_one_reading_is_taken_where_only_its_number_differs(
    tmp_path: Path, heads: str, asks: bool
) -> None:
    proposal = sheet(tmp_path, heads, "7|8")
    assert ("/readings/1" in asked(proposal, needed=True)) is asks
    if asks:
        assert "repeat" in question(proposal, "/readings/1").question
        assert len(answered(proposal, {"/readings/1": None}).readings) == 1


def test_a_unit_that_is_not_taken_is_named(tmp_path: Path) -> None:
    told = question(sheet(tmp_path, "Turbidity (JTU)", "7"), "/readings/0").question
    assert 'says "JTU", which is no unit' in told
    assert told.count("JTU") == 1


def test_turbidity_in_lengths_is_asked_about_as_transparency(tmp_path: Path) -> None:
    found = question(sheet(tmp_path, "Turbidity (cm)", "45"), "/readings/0")
    assert values(found) == [{"column": "Turbidity (cm)", "parameter": "transparency", "unit": "cm"}, None]


def test_a_german_sheet_is_read_whole(tmp_path: Path) -> None:
    text = (
        "Datum|Uhrzeit|Messstelle|Wassertemperatur (°C)|Lufttemperatur|pH-Wert|Sauerstoff (mg/l)|"
        "Nitrat (mg/l NO3)\n14. März 2025|9.05 Uhr|oak-run|7,1|12,5|7,5|9,8|4,4"
    )
    proposal = proposal_for(tmp_path, text)
    assert asked(proposal, needed=True) == ["/when/zone"]
    assert proposal.mapping["file"]["decimal"] == ","
    units = {line["parameter"]: line["unit"] for line in proposal.mapping["readings"]}
    assert units == {
        "water_temperature": "degC", "ph": "std units", "dissolved_oxygen": "mg/L",
        "nitrate": "mg/L as NO3",
    }  # fmt: skip


def test_a_column_of_refused_cells_only_is_asked_about(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    book.active.append(["Site", "Date", "Time", "Water temp (C)", "pH"])
    book.active.append(["oak-run", "2025-03-12", "9:40", "=(50-32)/1.8", 7])
    book.save(tmp_path / "formula.xlsx")
    told = question(propose(tmp_path / "formula.xlsx", PLACES), "/readings/0").question
    assert "All of its 1 cells are refused" in told
    assert "formula" in told


def test_numbers_with_something_beside_them_make_no_column_of_remarks(tmp_path: Path) -> None:
    proposal = sheet(tmp_path, "Nitrate (mg/L as N)", "~1", "2-3", "0.4 mg/L", "2*")
    assert [line["column"] for line in proposal.mapping["readings"]] == ["Nitrate (mg/L as N)"]
    assert remarks(proposal, "Nitrate (mg/L as N)") == ""
