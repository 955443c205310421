"""Schools: entered once, changed only where a patch says so, their contact kept from the public."""

from typing import Any

import pytest

from tests.api import Api
from tests.broken_rules import misjudged

IBIS = {
    "code": "ibis",
    "name": "Ibis School",
    "time_zone": "America/Chicago",
    "contact_email": "office@ibis.example",
}


@pytest.fixture
def with_ibis(empty_api: Api) -> Api:
    assert empty_api.post("/v1/schools", IBIS).status_code == 201
    return empty_api


def patch(api: Api, body: Any, code: str = "ibis") -> Any:
    return api.call("PATCH", f"/v1/schools/{code}", "coordinator", json=body)


def ibis(api: Api, key: str | None = "coordinator") -> dict:
    return api.get("/v1/schools/ibis", key).json()


def test_a_new_school_is_answered_as_entered_and_reads_back_the_same(empty_api: Api) -> None:
    answer = empty_api.post("/v1/schools", IBIS)
    assert (answer.status_code, answer.json()) == (201, IBIS)
    assert ibis(empty_api) == IBIS
    assert empty_api.every("/v1/schools", "coordinator") == [IBIS]


def test_the_contact_is_seen_by_the_school_and_the_coordinator_only(api: Api) -> None:
    api.post("/v1/schools", IBIS)
    api.keys["ibis"] = api.post("/v1/keys", {"role": "school", "school": "ibis", "label": "x"}).json()["key"]
    assert {ibis(api, key)["contact_email"] for key in ("ibis", "coordinator")} == {IBIS["contact_email"]}
    for key in (None, "reader", "heron"):
        assert ibis(api, key)["contact_email"] is None
        assert "ibis.example" not in api.get("/v1/schools", key).text


def test_a_taken_code_is_refused_and_changes_nothing(with_ibis: Api) -> None:
    answer = with_ibis.post("/v1/schools", IBIS | {"name": "Another"})
    assert answer.status_code == 409
    assert ibis(with_ibis) == IBIS


BROKEN = [
    ({"code": "Ibis"}, "/code", "lower-case letters"),
    ({"code": "ibis\n"}, "/code", "lower-case letters"),
    ({"code": "i" * 49}, "/code", "lower-case letters"),
    ({"code": 7}, "/code", "text"),
    ({"name": ""}, "/name", "at least 1"),
    ({"name": "x" * 121}, "/name", "at most 120"),
    ({"name": None}, "/name", "text"),
    ({"name": "Ibis\x07"}, "/name", "control character"),
    ({"time_zone": "Mars/Olympus"}, "/time_zone", "America/New_York"),
    ({"time_zone": "../../etc/passwd"}, "/time_zone", "IANA"),
    ({"time_zone": "EST5EDT,M3.2.0,M11.1.0"}, "/time_zone", "IANA"),
    ({"contact_email": "the office"}, "/contact_email", "pattern"),
    ({"principal": "x"}, "/principal", "not known here"),
]


def test_a_school_that_breaks_a_rule_is_told_where(empty_api: Api) -> None:
    assert misjudged(lambda change: empty_api.post("/v1/schools", IBIS | change), BROKEN) == []
    assert empty_api.every("/v1/schools") == []


def test_everything_missing_is_told_at_once(empty_api: Api) -> None:
    errors = empty_api.post("/v1/schools", {}).json()["errors"]
    assert {error["pointer"] for error in errors} == {"/code", "/name", "/time_zone"}


@pytest.mark.parametrize(
    "change",
    [
        {"name": "Ibis Hill School"},
        {"time_zone": "UTC"},
        {"contact_email": None},
        {"contact_email": "new@ibis.example", "name": "Ibis Hill"},
    ],
)
def test_a_patch_changes_what_it_names_and_nothing_else(with_ibis: Api, change: dict) -> None:
    answer = patch(with_ibis, change)
    assert (answer.status_code, answer.json()) == (200, IBIS | change)
    assert ibis(with_ibis) == IBIS | change


BROKEN_PATCHES = [
    ({}, "", "at least one field"),
    ({"name": None}, "", "name: may be changed but not emptied"),
    ({"time_zone": None}, "", "time_zone: may be changed but not emptied"),
    ({"name": "x", "time_zone": None}, "", "time_zone: may be changed but not emptied"),
    ({"time_zone": "Mars/Olympus"}, "/time_zone", "IANA"),
    ({"code": "other"}, "/code", "not known here"),
    ([], "", "object"),
]


def test_a_patch_that_breaks_a_rule_changes_nothing(with_ibis: Api) -> None:
    assert misjudged(lambda change: patch(with_ibis, change), BROKEN_PATCHES) == []
    assert ibis(with_ibis) == IBIS


def test_a_school_that_is_not_there_is_404(empty_api: Api) -> None:
    assert empty_api.get("/v1/schools/ibis").status_code == 404
    assert patch(empty_api, {"name": "x"}).status_code == 404
