"""The reference data load as they are; what is missing, malformed or left over is refused, all at once."""

from collections.abc import Callable
from pathlib import Path

import pytest

from service.reference.errors import ReferenceDataError
from service.reference.load import load_catalogue, read_catalogue
from service.science.flags import Flag
from service.science.qa.check import ReadingCheck, Stage, VisitCheck
from service.science.qa.registry import CHECKS
from service.science.scores.index import Index, Score, Standing
from service.science.scores.registry import INDICES
from service.science.types import Finding
from tests.reference.data_folder import change, faults, matches, set_cells


def test_the_service_reads_its_own_data_once() -> None:
    assert load_catalogue() is load_catalogue()


def test_version_is_twelve_hexadecimal_digits_and_follows_the_content(folder: Path) -> None:
    before = load_catalogue(folder).version
    assert len(before) == 12
    assert set(before) <= set("0123456789abcdef")
    assert before == load_catalogue().version
    change(folder, "kits.csv", set_cells({"code": "ph-meter"}, {"name": "pH meter for the pocket"}))
    assert load_catalogue(folder).version != before


def test_a_byte_order_mark_is_no_fault(folder: Path) -> None:
    kits = folder / "kits.csv"
    kits.write_bytes(b"\xef\xbb\xbf" + kits.read_bytes())
    assert "ph-meter" in load_catalogue(folder).kits


def test_the_line_told_is_the_line_of_the_file(folder: Path) -> None:
    change(folder, "kits.csv", set_cells({"code": "ph-meter"}, {"upper": "a lot"}))
    lines = (folder / "kits.csv").read_text(encoding="utf-8").splitlines()
    line = next(number for number, text in enumerate(lines, start=1) if text.startswith("ph-meter,"))
    assert faults(folder) == [
        f"kits.csv, line {line}, column upper: 'a lot' is not a number; write it plainly, such as 8.4"
    ]


@pytest.mark.parametrize(
    ("file", "where", "said"),
    [
        ("checks.csv", {"id": "kit-scale"}, "has no row for the check 'kit-scale'"),
        (
            "qa_limits.csv",
            {"check": "gross-range", "parameter": "ph", "limit": "fail_low"},
            "lacks the limit 'fail_low' of the check 'gross-range' for ph",
        ),
        (
            "qa_limits.csv",
            {"check": "visit-clock"},
            "lacks the limit 'future_tolerance_minutes' of the check 'visit-clock' for *",
        ),
        ("index_definitions.csv", {"index": "ept-percent"}, "has no definition of 'ept-percent'"),
        (
            "index_constants.csv",
            {"index": "streamside-survey", "constant": "group_1_rare"},
            "definition 1 of streamside-survey lacks the constant 'group_1_rare'",
        ),
        ("parameters.csv", {"id": "turbidity"}, "'turbidity' is not in parameters.csv"),
    ],
)
def test_a_missing_line_is_told(folder: Path, file: str, where: dict[str, str], said: str) -> None:
    change(folder, file, lambda rows: [row for row in rows if not matches(row, where)])
    assert any(said in fault for fault in faults(folder))


def passing(*_: object) -> Finding:
    return Finding(Flag.PASS)


def scoring(*_: object) -> Score:
    return Score("smell", 1, None, None, Standing.MISSING)


@pytest.mark.parametrize(
    ("check", "said"),
    [
        (
            ReadingCheck("foam", 1, Stage.SCALE, passing, ("most",), frozenset({"ph", "taste"})),
            (
                "has no row for the check 'foam'",
                "lacks the limit 'most' of the check 'foam' for ph",
                "the check 'foam' serves 'taste', which is not in parameters.csv",
            ),
        ),
        (
            VisitCheck("moon", 1, Stage.SCALE, passing, ("phase",)),
            ("has no row for the check 'moon'", "lacks the limit 'phase' of the check 'moon' for *"),
        ),
    ],
)
def test_a_new_check_in_the_code_asks_for_its_data(
    folder: Path, check: ReadingCheck | VisitCheck, said: tuple[str, ...]
) -> None:
    with pytest.raises(ReferenceDataError) as caught:
        read_catalogue(folder, (*CHECKS, check), INDICES)
    assert len(caught.value.breaches) == len(said)
    for text in said:
        assert text in str(caught.value)


def test_a_new_index_in_the_code_asks_for_its_definition(folder: Path) -> None:
    with pytest.raises(ReferenceDataError, match="has no definition of 'smell'"):
        read_catalogue(folder, CHECKS, (*INDICES, Index("smell", scoring)))


def test_a_new_definition_becomes_the_newest_and_the_old_one_stays(folder: Path) -> None:
    for file in ("index_definitions.csv", "index_bands.csv", "index_constants.csv"):
        change(
            folder,
            file,
            lambda rows: [
                *[row | {"definition": "10"} for row in rows if row["index"] == "streamside-survey"],
                *rows,
            ],
        )
    catalogue = load_catalogue(folder)
    assert catalogue.definitions["streamside-survey"].number == 10
    assert {number for index, number in catalogue.all_definitions if index == "streamside-survey"} == {1, 10}


def test_bands_come_in_the_order_of_their_positions(folder: Path) -> None:
    change(folder, "index_bands.csv", lambda rows: rows[::-1])
    bands = load_catalogue(folder).definitions["streamside-survey"].bands
    assert [band.name for band in bands] == ["good", "fair", "poor"]


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        (
            lambda text: text.replace("code,name", "name,code", 1),
            "line 1: the header must be: code,name,kind",
        ),
        (lambda text: text + "one,two,three\n", "has 3 cells, not 18"),
        (lambda text: text + '"never closed', "breaks the CSV rules"),
        (lambda text: "", "line 1: the header must be"),
    ],
)
def test_a_file_that_is_no_such_table_is_refused(
    folder: Path, spoil: Callable[[str], str], said: str
) -> None:
    kits = folder / "kits.csv"
    kits.write_text(spoil(kits.read_text(encoding="utf-8")), encoding="utf-8")
    assert any(fault.startswith("kits.csv") and said in fault for fault in faults(folder))


def test_a_missing_or_miscoded_file_is_told_with_all_others(folder: Path) -> None:
    (folder / "kits.csv").unlink()
    (folder / "checks.csv").write_bytes("caf\u00e9".encode("latin-1"))
    told = faults(folder)
    assert [fault.split(":")[0] for fault in told] == ["kits.csv", "checks.csv"]


def test_all_faults_come_at_once(folder: Path) -> None:
    change(folder, "kits.csv", set_cells({"code": "ph-meter"}, {"unit": "mg/L", "lower": "15"}))
    change(folder, "taxa.csv", set_cells({"taxon": "Baetidae"}, {"tolerance": "11"}))
    change(folder, "checks.csv", set_cells({"id": "kit-scale"}, {"version": "99"}))
    assert len(faults(folder)) == 4


def test_limits_of_a_parameter_overrule_those_of_all(folder: Path) -> None:
    extra = {"check": "visit-clock", "limit": "future_tolerance_minutes", "unit": "min"}
    extra |= {"source": "Own", "evidence": "own"}
    change(folder, "qa_limits.csv", lambda rows: [*rows, extra | {"parameter": "ph", "value": "3"}])
    catalogue = load_catalogue(folder)
    assert catalogue.limits_for("visit-clock", "ph")["future_tolerance_minutes"] == 3
    assert catalogue.limits_for("visit-clock", "turbidity") == catalogue.limits_for("visit-clock")
    assert catalogue.limits_for("visit-clock")["future_tolerance_minutes"] != 3
    assert catalogue.limits_for("no-such-check", "ph") == {}
