"""Which heads are our own template's, and what is said of one that was changed."""

from itertools import product

import pytest

from service.intake.mapping.schemas import FileBody
from service.intake.sheets.cell import Cell, Row, Unreadable
from service.intake.template.own_mapping import own_mapping_for

BASE = ["Wadebook 1", "site", "date", "time"]
ACIDITY = "pH [std units] ph-meter"


def head(*names: str) -> Row:
    return Row(1, tuple(Cell(name or None) for name in names))


@pytest.mark.parametrize("names", [["site", "date", "time", ACIDITY], ["Wadebook 2", *BASE[1:], ACIDITY], []])
def test_another_head_is_not_ours(names: list[str]) -> None:
    assert own_mapping_for(head(*names)) is None


@pytest.mark.parametrize(
    ("mark", "wider"), [*product(["Wadebook 1", " wadebook  1"], ["", "Name of the dog"])]
)
def test_our_head_is_known_with_columns_of_the_teachers_beside_it(mark: str, wider: str) -> None:
    mapping = own_mapping_for(head(mark, *BASE[1:], ACIDITY, wider, "", "Minutes waited: ph-meter"))
    assert mapping is not None
    (column,) = mapping.readings
    assert (column.parameter, column.unit, column.kit) == ("ph", "std units", "ph-meter")
    assert column.procedure == {"minutes_waited": "minutes waited: ph-meter"}


def test_columns_may_stand_in_another_order() -> None:
    mapping = own_mapping_for(head("Wadebook 1", ACIDITY, "time", "date", "site"))
    assert mapping is not None
    assert mapping.when.zone == "site"


def test_what_is_known_of_the_file_is_kept() -> None:
    how = FileBody(sheet="visits", encoding="latin-1", decimal=",")
    mapping = own_mapping_for(head(*BASE, ACIDITY), how)
    assert mapping is not None
    assert mapping.file == how


def test_a_kit_of_the_networks_own_is_taken_by_its_code() -> None:
    mapping = own_mapping_for(head(*BASE, "pH [std units] our-card"))
    assert mapping is not None
    assert mapping.readings[0].kit == "our-card"


@pytest.mark.parametrize(
    ("names", "told"),
    [
        ([*BASE[:2], "time", ACIDITY], '"date" is missing'),
        ([*BASE, "nitrate [mg/L] nitrate-strip"], r"Column 5.*mg/L as NO3"),
        ([*BASE, "nitrat [mg/L as NO3]"], "nitrat is not one of the readings"),
        (BASE, "no columns of readings"),
    ],
)
def test_a_head_that_was_changed_is_told_and_not_passed_over(names: list[str], told: str) -> None:
    with pytest.raises(Unreadable, match=told):
        own_mapping_for(head(*names))
