"""Duplicates and blanks are made to find out how good the readings are; they are no news of the stream."""

import pytest

from tests.api import Api, catch, visit

LISTS = ("/v1/visits", "/v1/readings", "/v1/scores")


@pytest.fixture
def mixed(api: Api) -> Api:
    """One visit of each kind, on three days, all released."""
    for day, kind in enumerate(("routine", "field-replicate", "field-blank"), 1):
        more = {} if kind == "field-blank" else {"catch": catch(("Heptageniidae", 60), ("Chironomidae", 50))}
        stored = api.submit(visit(observed_at=f"2026-03-{day:02}T10:00:00-05:00", kind=kind, **more))
        if stored["state"] == "held":
            body = {"action": "release", "reason": "to be listed"}
            assert api.post(f"/v1/visits/{stored['visit_id']}/decisions", body).status_code == 200
    return api


@pytest.mark.parametrize("key", [None, "heron", "coordinator"])
@pytest.mark.parametrize("address", LISTS)
def test_lists_hold_routine_visits_unless_another_kind_is_asked_for(
    mixed: Api, address: str, key: str | None
) -> None:
    assert {row["kind"] for row in mixed.every(address, key)} == {"routine"}
    rows = mixed.every(f"{address}?kind=field-replicate", key)
    assert {(row["kind"], row["observed_on"]) for row in rows} == {("field-replicate", "2026-03-02")}


def test_a_blank_is_listed_as_such_and_has_no_scores(mixed: Api) -> None:
    assert [row["kind"] for row in mixed.every("/v1/visits?kind=field-blank")] == ["field-blank"]
    assert mixed.every("/v1/scores?kind=field-blank") == []


@pytest.mark.parametrize("key", [None, "coordinator"])
def test_a_summary_is_of_routine_visits(mixed: Api, key: str | None) -> None:
    found = mixed.get("/v1/watersheds/0207/summary", key).json()
    assert found["visits"] == {"released": 1}
    assert {row["readings"] for row in found["parameters"]} == {1}


def test_the_next_page_asks_for_the_same_kind(mixed: Api) -> None:
    answer = mixed.get("/v1/readings?kind=field-replicate&limit=1").json()
    assert "kind=field-replicate" in answer["next"]


def test_an_unknown_kind_is_refused(mixed: Api) -> None:
    assert mixed.get("/v1/visits?kind=holiday").status_code == 400


@pytest.mark.parametrize("query", ["site=%00", "school=%00", "stream=%00"])
def test_a_name_that_none_can_have_is_refused(api: Api, query: str) -> None:
    assert api.get(f"/v1/visits?{query}").status_code == 400
