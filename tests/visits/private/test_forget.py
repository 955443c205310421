"""What is private to a school can be removed for good; what was measured stays."""

import uuid
from pathlib import Path
from typing import Any

import pytest

from service.cli import main
from tests.api import Api, Json, catch, reading, visit
from tests.databases import read_content

SECRETS = ("gate code kestrel", "zebra-group", "40.77177", "office@heron.example")
PLACE = {"latitude": 40.7717712, "longitude": -75.1234567}


def forget(api: Api, school: str = "heron", key: str = "heron", confirm: str | None = None) -> Any:
    body = {"confirm": school if confirm is None else confirm}
    return api.call("DELETE", f"/v1/schools/{school}/private", key, json=body)


def private_visit(**more: Any) -> Json:
    given = {"notes": "gate code kestrel", "team": "zebra-group", "place": PLACE} | more
    return visit(catch=catch(("mayfly", 14)), **given)


@pytest.fixture
def told(api: Api) -> dict[str, Any]:
    """A visit of heron in two revisions full of secrets, one of otter, and what all see of them."""
    contact = {"contact_email": "office@heron.example"}
    assert api.call("PATCH", "/v1/schools/heron", "coordinator", json=contact).status_code == 200
    first = private_visit(visit_id=str(uuid.uuid4()))
    stored = api.submit(first)
    again = private_visit(observed_at="2026-03-12T10:16:00-05:00")
    address = f"/v1/visits/{stored['visit_id']}"
    assert api.call("PUT", address, "heron", json=again, headers={"If-Match": "*"}).status_code == 200
    other = api.submit(visit("reed-01", notes="otter's own", team="otters"), "otter")
    return {"first": first, "again": again, "address": address, "other": f"/v1/visits/{other['visit_id']}"}


def everything(api: Api) -> str:
    return str([rows for _, rows in read_content(api.engine)])


def public(api: Api) -> list[Json]:
    lists = ("/v1/visits", "/v1/readings", "/v1/scores", "/v1/schools", "/v1/sites")
    return [row for address in lists for row in api.every(address)]


def test_no_trace_of_it_stays_and_no_public_number_changes(api: Api, told: dict[str, Any]) -> None:
    assert [secret for secret in SECRETS if secret not in everything(api)] == []
    before, other = public(api), api.get(told["other"], "otter").content
    answer = forget(api)
    assert answer.status_code == 200, answer.text
    done = answer.json()
    assert done.pop("text").startswith("Gone from all revisions")
    assert done == {
        "school": "heron", "visits": 1, "notes": 2, "teams": 2, "places": 2, "contact": True, "mappings": 0,
    }  # fmt: skip
    assert [secret for secret in SECRETS if secret in everything(api)] == []
    if api.engine.dialect.name == "sqlite":  # nor in what a file keeps of rows that are gone
        content = Path(api.engine.url.database or "").read_bytes()
        assert [secret for secret in SECRETS if secret.encode() in content] == []
    assert public(api) == before
    assert api.get(told["other"], "otter").content == other
    private = api.get(told["address"], "heron").json()["private"]
    assert (private["notes"], private["team"]) == (None, None)
    for one in api.get(f"{told['address']}/revisions", "heron").json()["items"]:
        assert {one["handed_in"][name] for name in ("notes", "team", "place")} == {None}


def test_a_visit_that_is_sent_again_is_still_known(api: Api, told: dict[str, Any]) -> None:
    forget(api)
    assert api.post("/v1/visits", told["first"], "heron").status_code == 200
    assert api.call(
        "PUT", told["address"], "heron", json=told["again"], headers={"If-Match": "*"}
    ).json()["revision"] == 2  # fmt: skip
    assert "kestrel" not in everything(api)


def test_it_is_written_down_that_it_was_done_and_not_what_it_was(api: Api, told: dict[str, Any]) -> None:
    forget(api)
    trail = api.get("/v1/audit?limit=2", "coordinator").json()["items"]
    assert [(row["subject"], row["what"]) for row in trail] == [
        ("school", "private parts removed"),
        ("visit", "private parts removed"),
    ]
    assert trail[1]["subject_id"] in told["address"]
    again = forget(api, key="coordinator").json()
    assert (again["visits"], again["notes"], again["contact"]) == (0, 0, False)


@pytest.mark.parametrize(
    ("school", "key", "confirm", "status"),
    [
        ("heron", "heron", "herons", 422),
        ("heron", "heron", "", 422),
        ("heron", "otter", "heron", 403),
        ("heron", "reader", "heron", 403),
        ("ibis", "coordinator", "ibis", 404),
    ],
)
def test_nothing_is_removed_unless_it_is_meant_and_allowed(
    api: Api, told: dict[str, Any], school: str, key: str, confirm: str, status: int
) -> None:
    def of_visits_and_schools() -> list[Any]:
        return [rows for table, rows in read_content(api.engine) if table.name != "access_key"]

    before = of_visits_and_schools()
    assert forget(api, school, key, confirm).status_code == status
    assert of_visits_and_schools() == before


def test_two_teams_at_one_instant_do_not_become_one_team_that_sent_twice(
    api: Api, monkeypatch: pytest.MonkeyPatch, database_url: str
) -> None:
    teams = ("zebra-group", "yak-group", None, "zebra-group")
    stored = [api.submit(visit(team=team, readings=[reading("ph", 7)])) for team in teams]
    assert [one["state"] for one in stored] == ["released", "released", "released", "held"]
    assert forget(api).json()["teams"] == 3
    assert "-group" not in everything(api)
    monkeypatch.setenv("WADEBOOK_DATABASE_URL", database_url)
    assert main(["recheck"]) == 0
    states = [api.get(f"/v1/visits/{one['visit_id']}", "heron").json()["state"] for one in stored]
    assert states == ["released", "released", "released", "held"]
    assert forget(api).json()["teams"] == 0


def test_an_answer_kept_for_a_repeated_request_does_not_bring_the_contact_back(empty_api: Api) -> None:
    for code in ("hero-n", "hero_n"):
        body = {
            "code": code, "name": "Heron", "time_zone": "UTC", "contact_email": f"office@{code}.example",
        }  # fmt: skip
        sent = {"headers": {"Idempotency-Key": f'"{code}"'}, "json": body}
        assert empty_api.call("POST", "/v1/schools", "coordinator", **sent).status_code == 201
    assert forget(empty_api, "hero_n", "coordinator").status_code == 200
    assert "office@hero_n.example" not in everything(empty_api)
    kept = {table.name: rows for table, rows in read_content(empty_api.engine)}["answered_once"]
    assert [row["token"] for row in kept] == ["hero-n"]
