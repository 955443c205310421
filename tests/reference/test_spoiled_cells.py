"""Any single spoiled cell of the reference data is refused with its file, line, column and cause."""

from pathlib import Path

import pytest

from tests.reference.data_folder import change, faults, set_cells

UNREADABLE = [
    ("parameters.csv", {"id": "ph"}, {"physical_max": "high"}, "physical_max", "is not a number"),
    ("parameters.csv", {"id": "ph"}, {"physical_max": "inf"}, "physical_max", "is not a number"),
    ("parameters.csv", {"id": "ph"}, {"source": " "}, "source", "is empty"),
    ("parameters.csv", {"id": "ph"}, {"evidence": "rumour"}, "evidence", "'rumour' is not one of"),
    ("parameters.csv", {"id": "ph"}, {"measured": "true"}, "measured", "is not one of: no, yes"),
    ("parameters.csv", {"id": "nitrate"}, {"units": "mg/L as N;;mg/L as NO3"}, "units", "an empty entry"),
    ("kits.csv", {"code": "ph-meter"}, {"kind": "gadget"}, "kind", "'gadget' is not one of"),
    ("kits.csv", {"code": "nitrate-strip"}, {"marks": "1;two;5"}, "marks", "'two' is not a number"),
    ("kits.csv", {"code": "ph-meter"}, {"code": "oxygen-meter"}, "code", "is already on line"),
    ("taxa.csv", {"taxon": "Baetidae"}, {"scoring_use": "maybe"}, "scoring_use", "is not one of"),
    ("taxa.csv", {"taxon": "Baetidae"}, {"bmwp": "4.5"}, "bmwp", "is not a whole number"),
    ("taxa.csv", {"taxon": "Baetidae"}, {"tolerance_source": ""}, "tolerance_source", "is empty"),
    ("taxa.csv", {"taxon": "Baetidae"}, {"alert": "panic"}, "alert", "'panic' is not one of"),
    ("taxon_names.csv", {"name": "scud"}, {"kind_of_name": "slang"}, "kind_of_name", "is not one of"),
    ("checks.csv", {"id": "gross-range"}, {"version": "0"}, "version", "whole number of 1 or more"),
    ("checks.csv", {"id": "gross-range"}, {"stage": "first"}, "stage", "'first' is not one of"),
    ("qa_limits.csv", {"check": "gross-range"}, {"unit": ""}, "unit", "is empty"),
    ("index_definitions.csv", {"index": "ept-richness"}, {"decimals": ""}, "decimals", "not a whole number"),
    ("index_bands.csv", {"index": "family-biotic-core"}, {"source": ""}, "source", "is empty"),
    ("index_constants.csv", {"index": "ept-richness"}, {"value": "many"}, "value", "is not a number"),
]

MISFIT = [
    ("parameters.csv", {"id": "transparency"}, {"units": "cm;cubit"}, "units", "'cubit' cannot be converted"),
    ("parameters.csv", {"id": "transparency"}, {"units": "in;m"}, "units", "lacks the unit of storage, cm"),
    ("parameters.csv", {"id": "transparency"}, {"units": "cm;m;m"}, "units", "names a unit twice"),
    ("parameters.csv", {"id": "ph"}, {"physical_min": "16"}, "physical_min", "must be below physical_max"),
    (
        "kits.csv",
        {"code": "ph-meter"},
        {"parameter": "acidity"},
        "parameter",
        "'acidity' is not in parameters",
    ),
    ("kits.csv", {"code": "ph-meter"}, {"unit": "mg/L"}, "unit", "'mg/L' is not a unit of ph"),
    ("kits.csv", {"code": "nitrate-strip"}, {"marks": "1;5;2;10;20;50"}, "marks", "must rise"),
    ("kits.csv", {"code": "nitrate-strip"}, {"upper": "40"}, "upper", "must be the last mark"),
    ("kits.csv", {"code": "nitrate-strip"}, {"lower": "2"}, "lower", "must be the first mark"),
    ("kits.csv", {"code": "oxygen-tablet-comparator"}, {"lower": "0"}, "lower", "first value above 0"),
    ("kits.csv", {"code": "ph-meter"}, {"lower": "15"}, "lower", "must not be above upper"),
    ("kits.csv", {"code": "ph-meter"}, {"step": ""}, "step", "either marks or a step"),
    ("kits.csv", {"code": "nitrate-strip"}, {"step": "1"}, "step", "either marks or a step"),
    ("kits.csv", {"code": "ph-meter"}, {"step": "-0.1"}, "step", "must be above 0"),
    ("kits.csv", {"code": "ph-meter"}, {"accuracy": "0"}, "accuracy", "must be above 0"),
    (
        "kits.csv",
        {"code": "nitrate-strip"},
        {"wait_minutes_max": "0.5"},
        "wait_minutes_min",
        "must not be above",
    ),
    (
        "kits.csv",
        {"code": "nitrate-strip"},
        {"wait_minutes_min": "-1"},
        "wait_minutes_min",
        "not be negative",
    ),
    ("taxa.csv", {"taxon": "Baetidae"}, {"rolls_up_to": "Ephemera"}, "rolls_up_to", "is not a taxon of this"),
    ("taxa.csv", {"taxon": "Odonata"}, {"rolls_up_to": "Zygoptera"}, "rolls_up_to", "goes in a circle"),
    ("taxa.csv", {"taxon": "Baetidae"}, {"tolerance": "10.1"}, "tolerance", "10.1 is outside 0 to 10"),
    ("taxa.csv", {"taxon": "Baetidae"}, {"streamside_group": ""}, "kind", "a kind needs its group"),
    ("taxa.csv", {"taxon": "Elmidae"}, {"kind_adult": ""}, "kind_adult", "a kind needs its group"),
    ("taxa.csv", {"taxon": "Baetidae"}, {"streamside_group": "3"}, "kind", "is in group 1 further up"),
    ("taxa.csv", {"taxon": "Baetidae"}, {"presence_weight": "5"}, "presence_weight", "5 is outside 1 to 4"),
    ("taxa.csv", {"taxon": "Baetidae"}, {"bmwp": "11"}, "bmwp", "11 is outside 1 to 10"),
    ("taxa.csv", {"taxon": "Limoniidae"}, {"bmwp": "4"}, "bmwp", "must be the 5 of Tipulidae"),
    ("taxa.csv", {"taxon": "Limoniidae"}, {"bmwp_unit": "Tipula"}, "bmwp_unit", "'Tipula' is not a taxon"),
    ("taxa.csv", {"taxon": "Tateidae"}, {"bmwp_unit": "Bithyniidae"}, "bmwp_unit", "is itself counted with"),
    ("taxa.csv", {"taxon": "Baetidae"}, {"presence_kind": ""}, "presence_kind", "a kind needs its weight"),
    ("taxa.csv", {"taxon": "Baetidae"}, {"presence_weight": ""}, "presence_kind", "a kind needs its weight"),
    ("taxa.csv", {"taxon": "Caenidae"}, {"presence_weight": "2"}, "presence_weight", "weight 3 further up"),
    ("taxa.csv", {"taxon": "Baetidae"}, {"in_fbi_extended": "no"}, "in_fbi_extended", "must be yes"),
    (
        "taxa.csv",
        {"taxon": "Baetidae"},
        {"tolerance": ""},
        "tolerance",
        "is empty, but in_fbi_extended is yes",
    ),
    ("taxa.csv", {"taxon": "Baetidae"}, {"alert": "photograph"}, "alert_note", "an alert needs a note"),
    ("taxon_names.csv", {"name": "scud"}, {"taxon": "Amphipod"}, "taxon", "'Amphipod' is not in taxa.csv"),
    ("taxon_names.csv", {"name": "scud"}, {"taxon": ""}, "taxon", "give one taxon, or none"),
    ("taxon_names.csv", {"name": "scud"}, {"candidates": "Amphipoda;Isopoda"}, "taxon", "give one taxon"),
    ("taxon_names.csv", {"name": "mud snail"}, {"candidates": "Hydrobiidae"}, "candidates", "not ambiguous"),
    (
        "taxon_names.csv",
        {"name": "mud snail"},
        {"candidates": "Hydrobiidae;Nix"},
        "candidates",
        "'Nix' is not",
    ),
    ("taxon_names.csv", {"name": "scud"}, {"name": "baetidae"}, "name", "the same as a name in taxa.csv"),
    (
        "taxon_names.csv",
        {"name": "scud"},
        {"name": "Water-Penny"},
        "name",
        "the same as a name in taxon_names",
    ),
    (
        "checks.csv",
        {"id": "gross-range"},
        {"version": "99"},
        "version",
        "says 99, but the code of gross-range",
    ),
    ("checks.csv", {"id": "gross-range"}, {"scope": "visit"}, "scope", "says visit, but the code"),
    ("checks.csv", {"id": "gross-range"}, {"stage": "statistics"}, "stage", "says statistics, but the code"),
    ("checks.csv", {"id": "gross-range"}, {"id": "net-range"}, "id", "'net-range' is no check of"),
    (
        "qa_limits.csv",
        {"check": "gross-range"},
        {"check": "net-range"},
        "check",
        "'net-range' is no check of",
    ),
    ("qa_limits.csv", {"check": "gross-range"}, {"parameter": "taste"}, "parameter", "'taste' is neither in"),
    (
        "qa_limits.csv",
        {"check": "gross-range", "parameter": "water_temperature"},
        {"unit": "degF"},
        "unit",
        "limits are compared in degC",
    ),
    (
        "qa_limits.csv",
        {"check": "gross-range", "parameter": "ph", "limit": "suspect_low"},
        {"value": "-0.5"},
        "value",
        "suspect_low -0.5 must not be below fail_low 0",
    ),
    (
        "qa_limits.csv",
        {"check": "gross-range", "parameter": "ph", "limit": "suspect_high"},
        {"value": "15"},
        "value",
        "fail_high 14 must not be below suspect_high 15",
    ),
    ("index_definitions.csv", {"index": "ept-richness"}, {"index": "ept"}, "index", "'ept' is no index of"),
    (
        "index_bands.csv",
        {"index": "family-biotic-core", "band": "good"},
        {"lower": "4.20"},
        "lower",
        "must start 0.01 higher, without gap or overlap",
    ),
    (
        "index_bands.csv",
        {"index": "family-biotic-core", "band": "good"},
        {"lower": "4.30"},
        "lower",
        "must start 0.01 higher, without gap or overlap",
    ),
    (
        "index_bands.csv",
        {"index": "streamside-survey", "band": "fair"},
        {"upper": ""},
        "lower",
        "only the outer ends of the first and the last band may be open",
    ),
    (
        "index_bands.csv",
        {"index": "streamside-survey", "band": "fair"},
        {"lower": "41.0"},
        "lower",
        "must not be above upper",
    ),
    (
        "index_bands.csv",
        {"index": "family-biotic-core", "band": "good"},
        {"band": "fair"},
        "band",
        "'fair' is the name of two bands",
    ),
    (
        "index_bands.csv",
        {"index": "family-biotic-core", "band": "good"},
        {"definition": "77"},
        "definition",
        "definition 77 of 'family-biotic-core' is not in index_definitions.csv",
    ),
    (
        "index_constants.csv",
        {"index": "ept-richness"},
        {"definition": "77"},
        "definition",
        "definition 77 of 'ept-richness' is not in index_definitions.csv",
    ),
]


@pytest.mark.parametrize(("file", "where", "cells", "column", "said"), UNREADABLE + MISFIT)
def test_one_spoiled_cell_is_refused_with_its_line_and_column(
    folder: Path, file: str, where: dict[str, str], cells: dict[str, str], column: str, said: str
) -> None:
    change(folder, file, set_cells(where, cells))
    told = faults(folder)
    assert any(
        fault.startswith(f"{file}, line ") and f", column {column}: " in fault and said in fault
        for fault in told
    ), told
