"""The default criteria: their values, and what the loader refuses."""

from pathlib import Path

import pytest

from service.reference.load import load_catalogue
from tests.reference.data_folder import change, faults, set_cells

# From the named documents; the marks of the rows say how well each was seen.
VALUES = [
    # US EPA 440/5-86-003 (1986), Table 1: 1-day minimum with early life stages (from memory)
    ("dissolved-oxygen-cold", "dissolved_oxygen", "mg/L", "cold", 8.0, None),
    ("dissolved-oxygen-warm", "dissolved_oxygen", "mg/L", "warm", 5.0, None),
    # common practice
    ("water-temperature-cold", "water_temperature", "degC", "cold", None, 20.0),
    ("water-temperature-warm", "water_temperature", "degC", "warm", None, 32.0),
    # US EPA 440/5-86-001 (1986), Quality Criteria for Water
    ("ph", "ph", "std units", None, 6.5, 9.0),
    ("alkalinity", "alkalinity", "mg/L as CaCO3", None, 20.0, None),
    # US EPA 440/5-88-001 (1988): 1-hour mean (from memory)
    ("chloride", "chloride", "mg/L", None, None, 860.0),
    # US EPA 822-R-13-001 (2013): by formula
    ("ammonia-cold", "ammonia", "mg/L as N", "cold", None, None),
    ("ammonia-warm", "ammonia", "mg/L as N", "warm", None, None),
    # US EPA 820-F-12-058 (2012): beach action value at 36 illnesses among 1000
    ("e-coli", "e_coli", "MPN/100 mL", None, None, 235.0),
]


def test_the_default_criteria_have_the_published_values() -> None:
    listed = load_catalogue().criteria.values()
    assert [
        (row.code, row.parameter, row.unit, row.water_class, row.at_least, row.at_most) for row in listed
    ] == VALUES


def test_each_default_says_what_it_really_is_and_that_it_is_only_a_default() -> None:
    # Nitrate has no criterion for water life (US EPA, from memory).
    listed = load_catalogue().criteria
    assert "nitrate" not in {row.parameter for row in listed.values()}
    assert [row.code for row in listed.values() if "Default only" not in row.statement] == []
    assert "without them 4.0 mg/L" in listed["dissolved-oxygen-cold"].statement
    assert "without them 3.0 mg/L" in listed["dissolved-oxygen-warm"].statement


@pytest.mark.parametrize(
    ("code", "cells", "column", "said"),
    [
        ("ph", {"at_least": "low"}, "at_least", "is not a number"),
        ("ph", {"statement": ""}, "statement", "is empty"),
        ("ph", {"evidence": "rumour"}, "evidence", "'rumour' is not one of"),
        ("ph", {"code": "chloride"}, "code", "is already on line"),
        ("ph", {"parameter": "acidity"}, "parameter", "'acidity' is not in parameters.csv"),
        ("chloride", {"unit": "ug/L"}, "unit", "criteria are compared in mg/L"),
        ("water-temperature-cold", {"unit": "degF"}, "unit", "criteria are compared in degC"),
        ("ph", {"water_class": "tepid"}, "water_class", "must be empty or one of: cold, warm"),
        ("ph", {"at_least": "9.1"}, "at_least", "must not be above at_most"),
        ("chloride", {"at_most": ""}, "at_least", "give limits or a formula"),
        ("ammonia-cold", {"at_most": "5"}, "at_least", "give limits or a formula"),
        ("ammonia-cold", {"formula": "guess"}, "formula", "'guess' is no formula"),
        ("dissolved-oxygen-warm", {"water_class": "cold"}, "water_class", "is already the criterion of"),
        ("dissolved-oxygen-warm", {"water_class": ""}, "water_class", "dissolved_oxygen in cold water"),
    ],
)
def test_one_spoiled_cell_is_refused_with_its_line_and_column(
    folder: Path, code: str, cells: dict[str, str], column: str, said: str
) -> None:
    change(folder, "criteria.csv", set_cells({"code": code}, cells))
    told = faults(folder)
    assert any(
        fault.startswith("criteria.csv, line ") and f", column {column}: " in fault and said in fault
        for fault in told
    ), told
