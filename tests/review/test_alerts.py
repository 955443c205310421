"""Alerts: who sees them, whom they tell to call, and that the coordinator has seen them."""

import uuid

import pytest

from service.core.paging import write_cursor
from tests.api import Api, Json, reading, visit
from tests.review.held_visits import decide

ACKNOWLEDGED = "acknowledged=true"
OPEN = "acknowledged=false"


def fish_kill(day: int, site: str = "reed-02", **more: object) -> Json:
    return visit(site, f"2026-03-{day:02}T10:15:00-05:00", conditions={"dead_fish": True}) | more


@pytest.fixture
def raised(api: Api) -> Api:
    """Three alerts of two schools, the newest day handed in first."""
    api.submit(fish_kill(5))
    api.submit(fish_kill(4, "reed-01"), "otter")
    api.submit(fish_kill(3))
    api.submit(visit())
    return api


def days(api: Api, query: str = "", key: str = "coordinator") -> list[str]:
    return [row["observed_on"][-2:] for row in api.every(f"/v1/alerts?{query}", key)]


@pytest.mark.parametrize("limit", [1, 2, 100])
def test_the_coordinator_sees_all_the_newest_first_over_pages_of_any_size(raised: Api, limit: int) -> None:
    assert days(raised, f"limit={limit}") == ["03", "04", "05"]


def test_a_school_sees_its_own(raised: Api) -> None:
    assert days(raised, key="heron") == ["03", "05"]
    assert days(raised, key="otter") == ["04"]


@pytest.mark.parametrize(("key", "status"), [(None, 401), ("reader", 403)])
def test_nobody_else_does(raised: Api, key: str | None, status: int) -> None:
    assert raised.get("/v1/alerts", key).status_code == status
    (row, *_) = raised.every("/v1/visits", key)
    assert raised.get(f"/v1/visits/{row['visit_id']}", key).json()["alerts"] == []


@pytest.mark.parametrize(
    ("query", "found"), [("from=2026-03-04", 2), ("to=2026-03-04", 2), ("from=2026-04-01", 0)]
)
def test_dates_are_the_local_dates_of_the_visits(raised: Api, query: str, found: int) -> None:
    assert len(days(raised, query)) == found


def test_seeing_an_alert_is_noted_once_and_told_to_the_school(raised: Api) -> None:
    newest = raised.every("/v1/alerts", "coordinator")[0]
    assert (newest["acknowledged"], newest["acknowledged_at"]) == (False, None)
    address = f"/v1/alerts/{newest['visit_id']}/{newest['alert']}/acknowledge"
    first = raised.post(address, None).json()
    again = raised.post(address, None).json()
    assert first["acknowledged"]
    assert first == again
    assert uuid.UUID(first["acknowledged_by"])
    assert (days(raised, ACKNOWLEDGED), days(raised, OPEN)) == (["03"], ["04", "05"])
    (seen,) = raised.every(f"/v1/alerts?{ACKNOWLEDGED}", "heron")
    assert (seen["acknowledged"], seen["acknowledged_by"]) == (True, None)
    assert raised.get(f"/v1/visits/{newest['visit_id']}", "heron").json()["alerts"][0]["acknowledged"]


@pytest.mark.parametrize(("key", "status"), [(None, 401), ("reader", 403), ("heron", 403)])
def test_only_the_coordinator_acknowledges(raised: Api, key: str | None, status: int) -> None:
    newest = raised.every("/v1/alerts", "coordinator")[0]
    address = f"/v1/alerts/{newest['visit_id']}/{newest['alert']}/acknowledge"
    assert raised.post(address, None, key).status_code == status
    assert days(raised, ACKNOWLEDGED) == []


def test_an_alert_that_was_not_raised_cannot_be_acknowledged(raised: Api) -> None:
    newest = raised.every("/v1/alerts", "coordinator")[0]
    for visit_id, alert in ((newest["visit_id"], "extreme-ph"), (uuid.uuid4(), "fish-kill")):
        assert raised.post(f"/v1/alerts/{visit_id}/{alert}/acknowledge", None).status_code == 404


def test_a_rejected_visit_raises_no_alert_any_more(raised: Api) -> None:
    newest = raised.every("/v1/alerts", "coordinator")[0]
    decide(raised, newest["visit_id"], "reject", "the fish were leaves")
    assert days(raised) == ["04", "05"]


def test_an_alert_tells_the_cautions_and_that_nobody_is_named_to_call(api: Api) -> None:
    (alert,) = api.submit(fish_kill(3))["alerts"]
    assert alert["who_to_call"] == "ask your coordinator whom to call: this network has not set it"
    assert any("Stay out of the water" in caution for caution in alert["cautions"])


def test_whom_the_network_calls_is_said_with_every_alert(api: Api) -> None:
    settings = api.client.app.state.settings
    told = "the district's duty officer"
    api.client.app.state.settings = settings.model_copy(update={"who_to_call": told})
    try:
        stored = api.submit(fish_kill(3, readings=[reading("ph", 15)]))
        answers = [stored, api.get(f"/v1/visits/{stored['visit_id']}", "heron").json()]
        answers += api.every("/v1/review", "coordinator")
        assert [answer["alerts"][0]["who_to_call"] for answer in answers] == [told] * 3
        assert [row["who_to_call"] for row in api.every("/v1/alerts", "heron")] == [told]
    finally:
        api.client.app.state.settings = settings


@pytest.mark.parametrize(
    "key",
    [
        ["2026-03-12T10:00:00+00:00", "x", "fish-kill"],
        ["x", str(uuid.UUID(int=7)), "fish-kill"],
        ["2026-03-12T10:00:00+00:00", str(uuid.UUID(int=7)), "\x00"],
        ["2026-03-12T10:00:00+00:00", str(uuid.UUID(int=7)), "\ud800"],
        ["2026-03-12T10:00:00+00:00", str(uuid.UUID(int=7)), 7],
    ],
)
def test_a_forged_cursor_is_refused(raised: Api, key: list) -> None:
    assert raised.get(f"/v1/alerts?cursor={write_cursor(key)}", "coordinator").status_code == 400


def test_a_name_that_no_alert_can_have_is_not_found(raised: Api) -> None:
    newest = raised.every("/v1/alerts", "coordinator")[0]
    assert raised.post(f"/v1/alerts/{newest['visit_id']}/%00/acknowledge", None).status_code == 404
