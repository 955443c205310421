"""Kits of the network's own, and the boxes of them that the schools have."""

import pytest

from tests.api import Api
from tests.broken_rules import misjudged

CARD = {
    "code": "our-oxygen-card",
    "name": "Our oxygen card",
    "kind": "comparator",
    "parameter": "dissolved_oxygen",
    "unit": "mg/L",
    "lower": 2.0,
    "upper": 8.0,
    "marks": [0.0, 2.0, 5.0, 8.0],
    "step": None,
    "accuracy": None,
    "reads_zero": False,
    "wait_minutes_min": 4.0,
    "wait_minutes_max": 6.0,
}
METER = CARD | {"code": "our-oxygen-meter", "kind": "meter", "marks": None, "step": 0.1, "accuracy": 0.2}
BOX = {"school": "heron", "code": "box-a", "kit": "oxygen-tablet-comparator", "expires_on": "2026-06-30"}


@pytest.mark.parametrize("kit", [CARD, METER], ids=["marks", "step"])
def test_a_new_kit_is_answered_as_entered_and_listed(empty_api: Api, kit: dict) -> None:
    answer = empty_api.post("/v1/kits", kit)
    assert (answer.status_code, answer.json()) == (201, answer.json() | kit)
    assert empty_api.every("/v1/kits") == [answer.json()]


@pytest.mark.parametrize("code", ["our-oxygen-card", "oxygen-tablet-comparator"])
def test_a_code_taken_here_or_in_the_catalogue_is_refused(empty_api: Api, code: str) -> None:
    assert empty_api.post("/v1/kits", CARD).status_code == 201
    assert empty_api.post("/v1/kits", CARD | {"code": code, "name": "Another"}).status_code == 409
    assert [kit["name"] for kit in empty_api.every("/v1/kits")] == [CARD["name"]]


BROKEN = [
    ({"step": 1.0}, "", "one of the two"),
    ({"marks": None}, "", "one of the two"),
    ({"marks": [0.0, 5.0, 2.0]}, "", "rise"),
    ({"marks": [0.0, 2.0, 2.0]}, "", "rise"),
    ({"marks": [2.0]}, "/marks", "at least 2"),
    ({"marks": [0.0, "2", 5.0]}, "/marks/1", "number"),
    ({"marks": None, "step": 0.0}, "/step", "greater than or equal to 0.000001"),
    ({"lower": 8.1}, "", "lower must not be greater"),
    ({"wait_minutes_min": -1.0}, "/wait_minutes_min", "0"),
    ({"accuracy": 0.0}, "/accuracy", "greater than or equal to 0.000001"),
    ({"kind": "guess"}, "/kind", "pattern"),
    ({"parameter": "smell"}, "/parameter", "dissolved_oxygen"),
    ({"unit": "%"}, "/unit", "mg/L"),
    ({"reads_zero": "no"}, "/reads_zero", "true or false"),
    ({"upper": "8"}, "/upper", "number"),
    ({"maker": "x"}, "/maker", "not known here"),
]


def test_a_kit_that_breaks_a_rule_is_told_where(empty_api: Api) -> None:
    assert misjudged(lambda change: empty_api.post("/v1/kits", CARD | change), BROKEN) == []
    assert empty_api.every("/v1/kits") == []


def test_a_kit_that_waits_at_least_longer_than_at_most_is_refused(empty_api: Api) -> None:
    assert empty_api.post("/v1/kits", CARD | {"wait_minutes_min": 7.0}).status_code == 422


def lots(api: Api, key: str) -> list[tuple[str, str]]:
    return [(row["school"], row["code"]) for row in api.every("/v1/kit-lots?limit=1", key)]


def test_a_school_enters_its_own_boxes_and_sees_no_others(api: Api) -> None:
    answer = api.post("/v1/kit-lots", BOX, "heron")
    assert (answer.status_code, answer.json()) == (201, answer.json() | BOX | {"blank_failed_on": None})
    assert api.post("/v1/kit-lots", BOX | {"school": "otter"}, "otter").status_code == 201
    assert api.post("/v1/kit-lots", BOX | {"code": "box-b"}, "coordinator").status_code == 201
    assert lots(api, "heron") == [("heron", "box-a"), ("heron", "box-b")]
    assert lots(api, "otter") == [("otter", "box-a")]
    assert lots(api, "coordinator") == lots(api, "heron") + lots(api, "otter")


def test_a_box_may_be_of_the_networks_own_kit(api: Api) -> None:
    api.post("/v1/kits", CARD)
    assert api.post("/v1/kit-lots", BOX | {"kit": CARD["code"]}, "heron").status_code == 201


def test_a_taken_box_code_is_refused_within_the_school(api: Api) -> None:
    assert api.post("/v1/kit-lots", BOX, "heron").status_code == 201
    assert api.post("/v1/kit-lots", BOX | {"expires_on": None}, "heron").status_code == 409
    (lot,) = api.every("/v1/kit-lots", "heron")
    assert lot["expires_on"] == BOX["expires_on"]


def test_a_box_that_breaks_a_rule_is_told_where(api: Api) -> None:
    broken = [
        ({"kit": "magic-box"}, "/kit", "no kit magic-box"),
        ({"school": "nobody"}, "/school", "no school nobody"),
        ({"expires_on": "06/2026"}, "/expires_on", "year-month-day"),
        ({"blank_failed_on": "2026-06-30"}, "/blank_failed_on", "not known here"),
    ]
    assert misjudged(lambda change: api.post("/v1/kit-lots", BOX | change), broken) == []
    assert lots(api, "coordinator") == []
