from datetime import date
from typing import Any

import pytest

from service.intake.sheets.cell import Cell, Value
from tests.intake.mapping.sheets import PH, mapping_of, read_one, refused, said, taken

WET = ("mill-creek-1", "2026-05-14", "9:40")
HEAD = "Site|Day|Clock|Value|Beside|More"
DO = {"column": "Value", "parameter": "dissolved_oxygen", "unit": "mg/L"}
SATURATION = {"column": "Value", "parameter": "dissolved_oxygen_saturation", "unit": "%"}
NITRATE = {"column": "Value", "parameter": "nitrate", "unit": "mg/L as NO3"}
AMMONIA = {"column": "Value", "parameter": "ammonia", "unit": "mg/L as N", "times": 0.014007}
ECOLI = {
    "column": "Value",
    "parameter": "e_coli",
    "unit": "MPN/100 mL",
    "censored": {"column": "Beside", "values": {"TRUE": ">", "below": "<", "FALSE": "", "ok": None}},
}
LIMITED = {**NITRATE, "limit": {"column": "Beside"}}
EITHER_UNIT = {
    "column": "Value",
    "parameter": "water_temperature",
    "unit_column": {"column": "Beside", "values": {"F": "degF", "Celsius": "degC"}},
}
FILE = {"missing": ["NA", ".", "-9999"], "not_detected": ["nd"]}


def read(column: dict[str, Any], value: Value | Cell, beside: Value = "", more: Value = "") -> Any:
    return read_one(mapping_of(readings=[column], file=FILE), HEAD, *WET, value, beside, more)


@pytest.mark.parametrize(
    ("column", "value", "beside", "reading"),
    [
        (DO, "8.4", "", {"value": 8.4, "unit": "mg/L"}),
        (DO, 8.4, "", {"value": 8.4, "unit": "mg/L"}),
        (DO, "0", "", {"value": 0.0, "unit": "mg/L"}),
        (DO, "<0.5", "", {"value": 0.5, "unit": "mg/L", "censored": "<"}),
        (SATURATION, "95 %", "", {"value": 95.0, "unit": "%"}),
        (NITRATE, "1.1", "", {"value": 1.1, "unit": "mg/L as NO3"}),
        (AMMONIA, "9.50", "", {"value": 0.1330665, "unit": "mg/L as N"}),
        (AMMONIA, "<1", "", {"value": 0.014007, "unit": "mg/L as N", "censored": "<"}),
        (ECOLI, "2419.6", "TRUE", {"value": 2419.6, "unit": "MPN/100 mL", "censored": ">"}),
        (ECOLI, "2419.6", True, {"value": 2419.6, "unit": "MPN/100 mL", "censored": ">"}),
        (ECOLI, ">2419.6", "true ", {"value": 2419.6, "unit": "MPN/100 mL", "censored": ">"}),
        (ECOLI, "21.1", "FALSE", {"value": 21.1, "unit": "MPN/100 mL"}),
        (ECOLI, "21.1", "OK", {"value": 21.1, "unit": "MPN/100 mL"}),
        (ECOLI, "21.1", "NA", {"value": 21.1, "unit": "MPN/100 mL"}),
        (LIMITED, "nd", "0.05", {"value": 0.05, "unit": "mg/L as NO3", "censored": "<"}),
        (LIMITED, " ND", 0.05, {"value": 0.05, "unit": "mg/L as NO3", "censored": "<"}),
        (LIMITED, "0.3", "0.05", {"value": 0.3, "unit": "mg/L as NO3"}),
        (EITHER_UNIT, "60", "f", {"value": 60.0, "unit": "degF"}),
        (EITHER_UNIT, "16", "degC", {"value": 16.0, "unit": "degC"}),
        (
            {**DO, "kit": "oxygen-meter", "kit_lot": "box-1"},
            "8",
            "",
            {"kit": "oxygen-meter", "kit_lot": "box-1"},
        ),
        ({**DO, "kit": "oxygen-meter", "kit_column": {"column": "Beside"}}, "8", "", {"kit": "oxygen-meter"}),
        ({**DO, "kit_column": {"column": "Beside"}}, "8", "Oxygen-Titrator", {"kit": "oxygen-titrator"}),
        (
            {**DO, "kit_column": {"column": "Beside", "values": {"the blue one": "oxygen-meter"}}},
            "8",
            "The blue one",
            {"kit": "oxygen-meter"},
        ),
        ({**DO, "replicate": "Beside"}, "8", "2", {"replicate": 2}),
        ({**DO, "procedure": {"bubble_free": "Beside"}}, "8", "yes", {"procedure": {"bubble_free": True}}),
        ({**DO, "procedure": {"bubble_free": "Beside"}}, "8", "No", {"procedure": {"bubble_free": False}}),
        (
            {**DO, "procedure": {"minutes_waited": "Beside"}},
            "8",
            "2.5",
            {"procedure": {"minutes_waited": 2.5}},
        ),
        ({**DO, "procedure": {"tablets": "Beside"}}, "8", "2", {"procedure": {"tablets": 2}}),
    ],
)
def test_a_reading_is_taken_as_it_is_written(
    column: dict[str, Any], value: Value, beside: Value, reading: dict[str, Any]
) -> None:
    (sent,) = taken(read(column, value, beside)).readings
    assert sent.column == "Value (column D)"
    assert sent.content["parameter"] == column["parameter"]
    assert {name: sent.content.get(name) for name in reading} == reading
    assert ("censored" in sent.content) == ("censored" in reading)


@pytest.mark.parametrize("value", ["", " ", "NA", "na", " . ", "-9999", -9999.0, None])
def test_where_nothing_was_measured_there_is_no_reading(value: Value) -> None:
    row = read(DO, value)
    assert (row.part, row.problems, row.left_out) == (None, (), "nothing was measured or counted in this row")


def test_a_cell_that_holds_nothing_needs_no_flag_beside_it_to_be_known() -> None:
    assert read(ECOLI, "NA", "FALSE").left_out
    assert read(EITHER_UNIT, "", "").left_out


@pytest.mark.parametrize(
    ("column", "value", "beside", "where", "why"),
    [
        (DO, "8.4 mg/L", "", "Value (column D)", 'has "mg/L" behind the number'),
        (DO, "95%", "", "Value (column D)", "percent sign"),
        (DO, "≤0.5", "", "Value (column D)", "limit itself"),
        (DO, "nd", "", "Value (column D)", "below a limit, and the limit is not given"),
        (LIMITED, "nd", "", "Value (column D)", "below a limit, and the limit is not given"),
        (LIMITED, "nd", "low", "Beside (column E)", "is not a number"),
        (DO, date(2026, 5, 8), "", "Value (column D)", "holds a date"),
        (DO, Cell("=A1", "holds a formula; write the number"), "", "Value (column D)", "holds a formula"),
        (ECOLI, "<1", "TRUE", "Value (column D)", "says <, but the column beside it says >"),
        (ECOLI, "21.1", "FALS", "Beside (column E)", "did you mean FALSE?"),
        (ECOLI, "", "TRUE", "Value (column D)", "above a limit, and the limit is not given"),
        (EITHER_UNIT, "60", "K", "Beside (column E)", "write degC or degF"),
        (EITHER_UNIT, "60", "", "Beside (column E)", "gives no unit; write degC or degF"),
        ({**DO, "replicate": "Beside"}, "8", "a", "Beside (column E)", "is not a number"),
        ({**DO, "replicate": "Beside"}, "8", "1.5", "Beside (column E)", "is not a whole number"),
        (
            {**DO, "procedure": {"bubble_free": "Beside"}},
            "8",
            "maybe",
            "Beside (column E)",
            "neither yes nor no",
        ),
        (
            {**DO, "kit_column": {"column": "Beside", "values": {"blue": "oxygen-meter"}}},
            "8",
            "bleu",
            "Beside (column E)",
            "did you mean blue?",
        ),
    ],
)
def test_what_is_refused(
    column: dict[str, Any], value: Value | Cell, beside: Value, where: str, why: str
) -> None:
    found = refused(read(column, value, beside))
    assert found[0] == where
    assert why in found[2]


LONG = {
    "parameter": "Value",
    "value": "Beside",
    "unit": "More",
    "kinds": {
        "Nitrate|mg/L as N": {"parameter": "nitrate", "unit": "mg/L as N"},
        "Nitrate|mg/L as NO3": {"parameter": "nitrate", "unit": "mg/L as NO3", "kit": "nitrate-strip"},
        "pH|": {"parameter": "ph"},
    },
    "left_out": ["Silica", "Nitrate|ueq/L"],
}
NO_UNIT = {**LONG, "unit": None, "kinds": {"pH": {"parameter": "ph"}}}


def read_long(long: dict[str, Any], *cells: Value) -> Any:
    return read_one(mapping_of(long=long, file=FILE), HEAD, *WET, *cells)


@pytest.mark.parametrize(
    ("long", "cells", "reading"),
    [
        (LONG, ("Nitrate", "1.2", "mg/L as N"), {"parameter": "nitrate", "value": 1.2, "unit": "mg/L as N"}),
        (
            LONG,
            ("nitrate ", "<5", "MG/L as  no3"),
            {
                "parameter": "nitrate",
                "value": 5.0,
                "unit": "mg/L as NO3",
                "censored": "<",
                "kit": "nitrate-strip",
            },
        ),
        (LONG, ("pH", "7.1", ""), {"parameter": "ph", "value": 7.1}),
        (NO_UNIT, ("PH", "7.1", "anything"), {"parameter": "ph", "value": 7.1}),
    ],
)
def test_a_reading_a_row(long: dict[str, Any], cells: tuple[Value, ...], reading: dict[str, Any]) -> None:
    (sent,) = taken(read_long(long, *cells)).readings
    assert sent.content == reading


@pytest.mark.parametrize(
    ("cells", "where", "why"),
    [
        (
            ("Nitrate", "1.2", "ug/L"),
            "Value (column D)",
            'is in the unit "ug/L", but the mapping knows it in mg/L as N',
        ),
        (("Nitrate", "1.2", ""), "Value (column D)", 'is in the unit ""'),
        (("Nitrite", "1.2", "mg/L as N"), "Value (column D)", "did you mean Nitrate|mg/L as N"),
        (("", "1.2", "mg/L as N"), "Value (column D)", "does not say what was measured"),
    ],
)
def test_what_is_refused_of_a_reading_a_row(cells: tuple[Value, ...], where: str, why: str) -> None:
    found = refused(read_long(LONG, *cells))
    assert found[0] == where
    assert why in found[2]


@pytest.mark.parametrize(
    ("cells", "why"),
    [
        (("silica", "3", "mg/L"), '"silica" is not taken from this sheet'),
        (("Nitrate", "3", "UEQ/L"), '"Nitrate" is not taken from this sheet'),
        (("", "", ""), "nothing was measured or counted in this row"),
        (("Nitrate", "NA", "mg/L as N"), "nothing was measured or counted in this row"),
    ],
)
def test_what_is_left_out_of_a_reading_a_row(cells: tuple[Value, ...], why: str) -> None:
    assert read_long(LONG, *cells).left_out == why


def test_everything_that_is_wrong_with_a_row_is_told_at_once() -> None:
    mapping = mapping_of(readings=[PH, {**DO, "column": "DO"}])
    row = read_one(mapping, "Site|Day|Clock|pH|DO", "mill-crek-1", "soon", "9:40", "7,1,2", "low " * 30)
    assert [(column, value) for column, value, _ in said(row)] == [
        ("Site (column A)", "mill-crek-1"),
        ("Day (column B)", "soon"),
        ("pH (column D)", "7,1,2"),
        ("DO (column E)", ("low " * 30)[:79] + "…"),
    ]


def test_a_cell_that_no_column_names_is_not_read() -> None:
    row = read_one(mapping_of(), "Site|Day|Clock|pH|Sum", *WET, "7", Cell("=1/0", "holds a formula"))
    assert len(taken(row).readings) == 1
