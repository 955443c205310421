"""The network's own criteria over HTTP: entering, listing, and what may and may not change."""

import pytest

from tests.api import Api
from tests.broken_rules import misjudged

OXYGEN = {
    "code": "our-oxygen",
    "name": "Oxygen in our trout waters",
    "parameter": "dissolved_oxygen",
    "unit": "mg/L",
    "at_least": 7.0,
    "at_most": None,
    "water_class": "cold",
    "watershed": {"scheme": "huc", "code": "0207"},
    "applies_from": "2026-01-01",
    "applies_until": None,
    "source": "State water quality standards, rule 12, 2025",
}
PH = OXYGEN | {
    "code": "our-ph", "parameter": "ph", "unit": "std units", "at_least": 6.0, "at_most": 8.5,
    "water_class": None, "watershed": None,
}  # fmt: skip


@pytest.mark.parametrize("criterion", [OXYGEN, PH], ids=["narrow", "everywhere"])
def test_a_new_criterion_is_answered_as_entered_listed_and_shown(empty_api: Api, criterion: dict) -> None:
    answer = empty_api.post("/v1/criteria", criterion)
    assert (answer.status_code, answer.json()) == (201, criterion)
    assert empty_api.every("/v1/criteria") == [criterion]
    assert empty_api.get(f"/v1/criteria/{criterion['code']}").json() == criterion


@pytest.mark.parametrize(
    ("parameter", "unit", "written", "stored", "stored_unit"),
    [
        # 68 degF is 20 degC by definition; 1 mg/L as NH3 is 0.822441 as N (IUPAC atomic weights); a milli-
        # equivalent of CaCO3 is 50.043 mg.
        ("water_temperature", "degF", 68.0, 20.0, "degC"),
        ("ammonia", "mg/L as NH3", 1.0, 0.822441, "mg/L as N"),
        ("alkalinity", "meq/L", 0.4, 20.0172, "mg/L as CaCO3"),
    ],
)
def test_limits_are_kept_in_the_unit_of_storage(
    empty_api: Api, parameter: str, unit: str, written: float, stored: float, stored_unit: str
) -> None:
    body = OXYGEN | {"parameter": parameter, "unit": unit, "at_least": None, "at_most": written}
    answer = empty_api.post("/v1/criteria", body).json()
    assert answer["at_most"] == pytest.approx(stored, rel=1e-6)
    assert (answer["unit"], answer["at_least"]) == (stored_unit, None)


def test_a_list_is_turned_by_pages_and_asked_by_parameter(empty_api: Api) -> None:
    for body in (PH, OXYGEN, PH | {"code": "a-second-ph"}):
        assert empty_api.post("/v1/criteria", body).status_code == 201
    assert [row["code"] for row in empty_api.every("/v1/criteria?limit=1")] == [
        "a-second-ph",
        "our-oxygen",
        "our-ph",
    ]
    assert [row["code"] for row in empty_api.every("/v1/criteria?parameter=ph")] == ["a-second-ph", "our-ph"]
    assert empty_api.get("/v1/criteria?colour=blue").status_code == 400
    assert empty_api.get("/v1/criteria/our-tide").status_code == 404


@pytest.mark.parametrize("code", ["our-ph", "dissolved-oxygen-cold"])
def test_a_code_taken_here_or_among_the_defaults_is_refused(empty_api: Api, code: str) -> None:
    assert empty_api.post("/v1/criteria", PH).status_code == 201
    assert empty_api.post("/v1/criteria", OXYGEN | {"code": code}).status_code == 409
    assert [row["parameter"] for row in empty_api.every("/v1/criteria")] == ["ph"]


BROKEN = [
    ({"parameter": "smell"}, "/parameter", "known are"),
    ({"unit": "%"}, "/unit", '"mg/L"'),
    ({"at_least": None}, "", "at_least, at_most or both"),
    ({"at_least": 7.0, "at_most": 6.9}, "", "at_least must not be greater"),
    ({"at_least": "7"}, "/at_least", "number"),
    ({"at_least": True}, "/at_least", "number"),
    ({"at_least": -1.0}, "/at_least", "lies within 0 to 200 mg/L"),
    ({"at_most": 201.0}, "/at_most", "check the unit"),
    ({"water_class": "tepid"}, "/water_class", "pattern"),
    ({"watershed": {"scheme": "huc", "code": "02070"}}, "/watershed", "even number"),
    ({"applies_from": "2026-02-30"}, "/applies_from", "day that exists"),
    ({"applies_until": "2025-12-31"}, "", "applies_until must not be before"),
    ({"source": ""}, "/source", "at least 1"),
    ({"source": "x" * 301}, "/source", "300"),
    ({"code": "Our Oxygen"}, "/code", "lower-case"),
    ({"colour": "blue"}, "/colour", "not known here"),
    ({"formula": "ammonia-acute-2013-salmonids"}, "/formula", "not known here"),
]


def test_a_criterion_that_breaks_a_rule_is_told_where(empty_api: Api) -> None:
    assert misjudged(lambda change: empty_api.post("/v1/criteria", OXYGEN | change), BROKEN) == []
    assert empty_api.every("/v1/criteria") == []


@pytest.mark.parametrize("missing", ["code", "name", "parameter", "unit", "applies_from", "source"])
def test_what_a_criterion_needs_is_asked_for(empty_api: Api, missing: str) -> None:
    body = {name: value for name, value in OXYGEN.items() if name != missing}
    assert (
        misjudged(lambda sent: empty_api.post("/v1/criteria", sent), [(body, f"/{missing}", "is missing")])
        == []
    )


def test_both_limits_out_of_place_are_told_at_once(empty_api: Api) -> None:
    answer = empty_api.post("/v1/criteria", OXYGEN | {"at_least": -2.0, "at_most": 900.0})
    assert [error["pointer"] for error in answer.json()["errors"]] == ["/at_least", "/at_most"]


def test_name_source_and_last_day_may_change(empty_api: Api) -> None:
    empty_api.post("/v1/criteria", OXYGEN)
    change = {"name": "Trout waters", "source": "Rule 12, 2026", "applies_until": "2026-06-30"}
    answer = empty_api.call("PATCH", "/v1/criteria/our-oxygen", "coordinator", json=change)
    assert (answer.status_code, answer.json()) == (200, OXYGEN | change)
    opened = empty_api.call("PATCH", "/v1/criteria/our-oxygen", "coordinator", json={"applies_until": None})
    assert opened.json()["applies_until"] is None
    assert empty_api.every("/v1/criteria") == [OXYGEN | change | {"applies_until": None}]


FIXED = {
    "code": "x", "parameter": "ph", "unit": "mg/L", "at_least": 6.0, "at_most": None, "water_class": "warm",
    "watershed": None, "applies_from": "2026-02-01",
}  # fmt: skip


def test_limits_and_where_and_from_when_they_apply_never_change_and_the_answer_says_so(
    empty_api: Api,
) -> None:
    empty_api.post("/v1/criteria", OXYGEN)

    def patch(change: dict) -> object:
        return empty_api.call("PATCH", "/v1/criteria/our-oxygen", "coordinator", json=change)

    broken = [({name: value}, f"/{name}", "never changes") for name, value in FIXED.items()]
    broken += [
        ({}, "", "at least one field"),
        ({"name": None}, "", "not emptied"),
        ({"applies_until": "2025-12-31"}, "/applies_until", "before its first day, 2026-01-01"),
        ({"colour": "blue"}, "/colour", "not known here"),
    ]
    assert misjudged(patch, broken) == []
    assert empty_api.every("/v1/criteria") == [OXYGEN]
    told = patch({"at_least": 5.0}).json()["errors"][0]["message"]
    assert "enter a new criterion" in told
    assert "applies_until" in told


@pytest.mark.parametrize("code", ["our-tide", "ph"])
def test_what_the_network_has_not_set_cannot_be_changed(empty_api: Api, code: str) -> None:
    answer = empty_api.call("PATCH", f"/v1/criteria/{code}", "coordinator", json={"name": "Mine"})
    assert answer.status_code == 404


def test_the_catalogue_shows_the_defaults_with_what_they_really_are(empty_api: Api) -> None:
    rows = {row["code"]: row for row in empty_api.get("/v1/catalogue/criteria").json()["items"]}
    assert rows["ph"]["at_least"] == 6.5
    assert rows["ammonia-cold"]["formula"] == "ammonia-acute-2013-salmonids"
    assert all(
        row["source"] and row["evidence"] and "Default only" in row["statement"] for row in rows.values()
    )
