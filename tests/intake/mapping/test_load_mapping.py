"""What a mapping may say, as JSON and as TOML, and how its faults are told."""

import json
from typing import Any

import pytest

from service.core.errors import Invalid
from service.intake.mapping.load_mapping import load_mapping, read_mapping

PH = {"column": "pH", "parameter": "ph"}
LEAST: dict[str, Any] = {
    "site": {"column": "Site"},
    "when": {"date": "Day", "zone": "America/New_York"},
    "readings": [PH],
}
TOML = """
site.column = "Site"
[when]
date = "Day"
zone = "America/New_York"
days = { "Trip 1" = 2026-05-14 }
[[readings]]
column = "pH"
parameter = "ph"
"""


def faults(content: dict[str, Any]) -> dict[str, str]:
    with pytest.raises(Invalid) as caught:
        read_mapping(content)
    return {error.pointer: error.message for error in caught.value.errors}


def test_toml_and_json_say_the_same() -> None:
    content = {**LEAST, "when": {**LEAST["when"], "days": {"Trip 1": "2026-05-14"}}}
    assert load_mapping(TOML, "toml") == load_mapping(json.dumps(content), "json")


def test_a_mapping_that_is_kept_comes_back_as_it_was() -> None:
    mapping = load_mapping(TOML, "toml")
    assert load_mapping(mapping.model_dump_json(), "json") == mapping
    assert read_mapping(mapping.model_dump(mode="json")) == mapping


@pytest.mark.parametrize(
    ("text", "kind", "told"),
    [
        ("site = ", "toml", "is not TOML that can be read"),
        ('{"site": ', "json", "is not JSON that can be read"),
        ("[" * 100_000, "json", "is not JSON that can be read"),
        ("[1]", "json", "object"),
        ('{"site": {"column": "A", "column": "B"}}', "json", "is given twice"),
    ],
)
def test_a_text_that_is_no_mapping(text: str, kind: Any, told: str) -> None:
    with pytest.raises(Invalid) as caught:
        load_mapping(text, kind)
    assert told in caught.value.errors[0].message


def with_reading(**more: Any) -> dict[str, Any]:
    return {**LEAST, "readings": [{**PH, **more}]}


def with_when(**more: Any) -> dict[str, Any]:
    return {**LEAST, "when": {**LEAST["when"], **more}}


DO = {"parameter": "dissolved_oxygen"}
LONG = {"parameter": "What", "value": "Result", "kinds": {"pH": {"parameter": "ph"}}}
CATCH = {"taxon": "Animal", "count": "Count"}


def with_long(**more: Any) -> dict[str, Any]:
    return {"site": LEAST["site"], "when": LEAST["when"], "long": {**LONG, **more}}


def with_catch(**more: Any) -> dict[str, Any]:
    return {"site": LEAST["site"], "when": LEAST["when"], "catch": {**CATCH, **more}}


@pytest.mark.parametrize(
    ("content", "pointer", "told"),
    [
        ({"when": LEAST["when"], "readings": [PH]}, "/site", "is missing"),
        ({**LEAST, "readings": []}, "", "names nothing to read"),
        ({**LEAST, "long": LONG}, "", "not both"),
        ({**LEAST, "colour": "blue"}, "/colour", "is not known here"),
        ({**LEAST, "site": {}}, "/site", "give a value that is the same for all rows, or the column"),
        ({**LEAST, "site": {"value": "a", "values": {}}}, "/site", "name the column"),
        (
            {**LEAST, "site": {"column": "S", "values": {"A": "x", " a": "y"}}},
            "/site",
            '"A" and " a" are the same',
        ),
        ({**LEAST, "site": {"column": 0}}, "/site/column", "greater than or equal to 1"),
        ({**LEAST, "site": {"column": "a\nb"}}, "/site/column", "line break"),
        ({**LEAST, "kind": {"value": "rutine"}}, "/kind", '"rutine" is none of'),
        ({**LEAST, "kind": {"column": "K", "values": {"D": "double"}}}, "/kind", '"double" is none of'),
        ({**LEAST, "conditions": {"weather": {"value": "nice"}}}, "/conditions/weather", '"nice" is none of'),
        ({**LEAST, "only": [{"column": "P", "why": "w"}]}, "/only/0", "say which words or numbers"),
        ({**LEAST, "file": {"decimal": ",", "thousands": ","}}, "/file", "cannot be the decimal sign too"),
        ({**LEAST, "file": {"thousands": "."}}, "/file", "cannot be the decimal sign too"),
        ({**LEAST, "file": {"missing": ["ND"], "not_detected": ["nd"]}}, "/file", "cannot be both"),
        ({**LEAST, "file": {"separator": "pipe"}}, "/file/separator", "'comma', 'semicolon' or 'tab'"),
        (with_when(zone="Mars"), "/when/zone", "IANA"),
        (with_when(zone="-05:00"), "/when/zone", "IANA"),
        (with_when(zone={"values": {}}), "/when/zone", "say what the words behind the clock mean"),
        (with_when(zone={"values": {"CDT": "Central"}}), "/when/zone/values/CDT", "IANA"),
        (with_when(zone="written", written_offset_is_wrong=True), "/when", "written offset must be right"),
        (with_when(assumed_time="24:00"), "/when/assumed_time", "pattern"),
        (with_when(order="ydm"), "/when/order", "'ymd', 'dmy' or 'mdy'"),
        (with_when(days={"Trip": "14.5.2026"}), "/when/days/Trip", "year-month-day"),
        (with_when(days={"Trip": "2026-05-14", "trip ": "2026-05-15"}), "/when", "are the same word"),
        (with_reading(parameter="colour"), "/readings/0", "colour is not a parameter of this network"),
        (with_reading(**DO), "/readings/0", 'the unit is missing: is dissolved oxygen in "mg/L"?'),
        (with_reading(**DO, unit="ppm"), "/readings/0", 'dissolved oxygen is given in "mg/L", not in ppm'),
        (with_reading(**DO, unit="mg/L", unit_column={"column": "U"}), "/readings/0", "not both"),
        (
            with_reading(**DO, unit_column={"column": "U", "values": {"ppm": "ppm"}}),
            "/readings/0",
            '"ppm": dissolved oxygen is given in mg/L, not in ppm',
        ),
        ({**LEAST, "readings": [PH, PH]}, "", "column pH is named twice for ph"),
        (with_reading(times=0), "/readings/0/times", "greater than 0"),
        (with_reading(procedure={"colour": "C"}), "/readings/0/procedure/colour", "Input should be"),
        (
            with_reading(censored={"column": "F", "values": {"x": "="}}),
            "/readings/0/censored/values/x",
            "'<', '>' or ''",
        ),
        (
            with_reading(limit={"value": 1.0, "column": "L"}),
            "/readings/0/limit",
            "give a number that is the same",
        ),
        (with_long(kinds={}), "/long/kinds", "at least 1"),
        (with_long(kinds={"DO": DO}), "/long/kinds/DO", "the unit is missing"),
        (with_long(unit="Unit"), "/long", 'write "pH|unit as the sheet writes it"'),
        (with_catch(count=None), "/catch", "needs a column of counts"),
        (with_catch(columns=[{"column": "M", "taxon": "mayfly"}]), "/catch", "or list the columns"),
        (with_catch(letter_words={"few": "R"}), "/catch", "say letters = true"),
        (with_catch(life_stage={"value": "egg"}), "/catch/life_stage", '"egg" is none of'),
        (
            with_catch(
                taxon=None, count=None, columns=[{"column": "M", "taxon": "m"}], life_stage={"column": "S"}
            ),
            "/catch",
            "give it to each of the columns",
        ),
    ],
)
def test_a_fault_is_told_with_its_place(content: dict[str, Any], pointer: str, told: str) -> None:
    found = faults(content)
    assert list(found) == [pointer]
    assert told in found[pointer]


def test_all_faults_are_told_at_once() -> None:
    content = {**with_when(order="ydm"), "site": {}, "colour": 1}
    assert set(faults(content)) == {"/when/order", "/site", "/colour"}


def test_a_unit_may_stand_in_its_own_column_and_ph_needs_none() -> None:
    mapping = read_mapping(with_reading(**DO, unit_column={"column": "U"}))
    assert mapping.readings[0].unit is None
    assert read_mapping(LEAST).readings[0].parameter == "ph"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (".".join("a" * 100_000) + " = 1", "more parts"),  # read, it would take all memory
        ("[" + ".".join(['"\\""'] * 20_000) + "]", "more parts"),
        ("' '." + " . ".join(["x", "'y'"] * 10_000) + " = 1", "more parts"),
        (f"about = 0x{'f' * 100_000}", "more digits"),
        (f"about = {'[' * 100_000}", "TOML that can be read"),
        ("[a.b]\n[a.c]\n" * 100_000, "longer than"),
        ("\\" + '"\\' * 100_000, "TOML that can be read"),
    ],
)
def test_a_text_that_is_made_to_take_all_memory_or_time_is_refused(text: str, told: str) -> None:
    with pytest.raises(Invalid) as refused:
        load_mapping(text, "toml")
    assert told in refused.value.errors[0].message
