from typing import Any

import pytest

from service.intake.sheets.cell import Value
from tests.intake.mapping.sheets import mapping_of, read_one, refused, taken

HEAD = "Site|Day|Clock|pH|Beside|More"


def read(conditions: dict[str, Any], beside: Value, **parts: Any) -> Any:
    mapping = mapping_of(conditions=conditions, file={"missing": ["NA"]}, **parts)
    return read_one(mapping, HEAD, "elm-run", "2026-05-14", "9:40", "7", beside, "")


@pytest.mark.parametrize(
    ("conditions", "beside", "fact"),
    [
        ({"air_temperature": {"column": "Beside"}}, "21.5", ("air_temperature_c", 21.5)),
        # 0 degC is 32 degF, and 212 degF boil water: common practice.
        (
            {"air_temperature": {"column": "Beside"}, "air_temperature_unit": "degF"},
            "212",
            ("air_temperature_c", 100.0),
        ),
        ({"rain_48h_mm": {"column": "Beside", "times": 25.4}}, "0.5", ("rain_48h_mm", 12.7)),
        ({"weather": {"column": "Beside"}}, "Partly-Cloudy", ("weather", "partly-cloudy")),
        ({"weather": {"column": "Beside", "values": {"sunny": "clear"}}}, "Sunny", ("weather", "clear")),
        ({"flow": {"column": "Beside"}}, "LOW", ("flow", "low")),
        ({"ice": {"value": "none"}}, "", ("ice", "none")),
        ({"dead_fish": {"column": "Beside", "values": {"x": "yes"}}}, "X", ("dead_fish", True)),
        ({"dead_fish": {"column": "Beside"}}, "no", ("dead_fish", False)),
    ],
)
def test_what_is_told_of_the_visit(
    conditions: dict[str, Any], beside: Value, fact: tuple[str, object]
) -> None:
    found = taken(read(conditions, beside)).conditions
    assert [(name, sent.content) for name, sent in found.items()] == [fact]


def test_what_was_not_noted_is_not_told() -> None:
    assert (
        taken(read({"weather": {"column": "Beside"}, "air_temperature": {"column": "More"}}, "NA")).conditions
        == {}
    )


@pytest.mark.parametrize(
    ("conditions", "beside", "why"),
    [
        ({"air_temperature": {"column": "Beside"}}, "21 C", '"C" behind the number'),
        ({"weather": {"column": "Beside"}}, "overcst", "did you mean overcast?"),
        ({"weather": {"column": "Beside"}}, "meh", "known are clear, partly-cloudy"),
        ({"dead_fish": {"column": "Beside"}}, "2", "known are yes, no"),
    ],
)
def test_what_is_refused(conditions: dict[str, Any], beside: Value, why: str) -> None:
    column, _, reason = refused(read(conditions, beside))
    assert column == "Beside (column E)"
    assert why in reason


def test_what_the_mapping_says_of_all_rows_makes_no_visit_of_an_empty_one() -> None:
    mapping = mapping_of(conditions={"ice": {"value": "none"}})
    assert read_one(mapping, HEAD, "elm-run", "2026-05-14", "9:40", "", "", "").left_out


NOTES = [{"column": "Beside", "word": "Remarks"}]


def test_notes_carry_the_word_of_their_column() -> None:
    sent = taken(read({}, "two anglers\nat the weir", notes=NOTES)).notes
    assert sent == (("Remarks: two anglers\nat the weir", "Beside (column E)"),)


def test_a_note_with_what_cannot_be_seen_is_refused() -> None:
    assert "cannot be seen" in refused(read({}, "bell\x07", notes=NOTES))[2]
