"""Checking stored visits again: nothing moves without a reason, and what a person decided stays."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from sqlmodel import Session

from service.core.settings import Settings
from service.reference import load
from service.review.recheck import recheck_all
from service.visits.private.purge import purge_old
from tests.api import Api, catch, reading, visit
from tests.review.held_visits import decide

STRICTER = 5.0  # degC; a rule change that makes every spring morning suspect


def recheck(api: Api) -> list[bool]:
    with Session(api.engine, expire_on_commit=False) as session:
        told = [differs for _, differs in recheck_all(session, Settings(), None)]
        session.commit()
    return told


@pytest.fixture
def stricter_rule(monkeypatch: pytest.MonkeyPatch) -> None:
    """The reference data with a lower usual end for water temperature, as a network's rule change."""
    catalogue = load.load_catalogue()
    rows = tuple(
        replace(row, value=STRICTER)
        if (row.parameter, row.limit) == ("water_temperature", "suspect_high")
        else row
        for row in catalogue.limits["gross-range"]
    )
    changed = replace(catalogue, limits={**catalogue.limits, "gross-range": rows}, version="changed")
    monkeypatch.setattr(load, "_of_the_service", lambda: changed)


def submitted(api: Api) -> list[str]:
    sample = catch(("Heptageniidae", 40), ("riffle beetle adult", 3), ("snail", 5))
    bodies = (
        visit(catch=sample, team="period-3", place={"latitude": 40.1235, "longitude": -75.6543}),
        visit(
            observed_at="2026-03-13T10:15:00-04:00",
            readings=[reading("ph", 3.5), reading("nitrate", None, "mg/L as NO3")],
        ),
        visit(observed_at="2026-03-13T10:15:00-04:00", readings=[reading("ph", 7)]),
    )
    return [api.submit(body)["visit_id"] for body in bodies]


def test_checking_again_under_the_same_rules_changes_nothing(api: Api) -> None:
    ids = submitted(api)
    before = [api.get(f"/v1/visits/{visit_id}", "coordinator").json() for visit_id in ids]
    assert recheck(api) == [False, False, False]
    assert [api.get(f"/v1/visits/{visit_id}", "coordinator").json() for visit_id in ids] == before


def test_a_new_rule_speaks_of_old_visits(api: Api, stricter_rule: None) -> None:
    answer = api.submit(visit())
    assert answer["state"] == "held"


def test_a_changed_rule_holds_an_old_visit_and_says_so_in_the_changes(
    api: Api, request: pytest.FixtureRequest
) -> None:
    stored = api.submit(visit())
    request.getfixturevalue("stricter_rule")
    assert recheck(api) == [True]
    again = api.get(f"/v1/visits/{stored['visit_id']}", "coordinator").json()
    assert (stored["state"], again["state"]) == ("released", "held")
    (told,) = [row for row in again["readings"][0]["checks"] if row["check"] == "gross-range"]
    assert told["flag"] == 3
    assert recheck(api) == [False]


def test_what_a_person_decided_stays(api: Api, request: pytest.FixtureRequest) -> None:
    stored = api.submit(visit(readings=[reading("ph", 3.5), reading("water_temperature", 8, "degC")]))
    address = f"/v1/visits/{stored['visit_id']}"
    decision = {"action": "set-flag", "reading": 0, "flag": 1, "reason": "a bog: read twice with another kit"}
    assert api.post(f"{address}/decisions", decision).status_code in (200, 201)
    assert api.post(f"{address}/decisions", {"action": "release", "reason": "as it is"}).status_code in (
        200,
        201,
    )
    request.getfixturevalue("stricter_rule")
    assert recheck(api) == [True]
    again = api.get(address, "coordinator").json()
    assert [row["flag"] for row in again["readings"]] == [1, 3]
    assert again["state"] == "released"


def test_a_visit_held_for_its_place_stays_held_when_the_place_was_purged(
    api: Api, request: pytest.FixtureRequest
) -> None:
    far_off = api.submit(visit(place={"latitude": 40.2, "longitude": -75.6543}))
    near = api.submit(visit(team="b", place={"latitude": 40.1235, "longitude": -75.6543}))
    assert (far_off["state"], near["state"]) == ("held", "released")
    later = datetime.now(UTC) + timedelta(days=31)
    with Session(api.engine) as session:
        purged = dict(purge_old(session, Settings(places_kept_days=30), later))
        session.commit()
    assert purged["places"] == 2
    assert recheck(api) == [False, False]
    assert api.get(f"/v1/visits/{far_off['visit_id']}", "heron").json() == far_off
    request.getfixturevalue("stricter_rule")
    assert recheck(api) == [True, True]
    again = api.get(f"/v1/visits/{far_off['visit_id']}", "heron").json()
    assert (again["state"], again["visit_checks"]) == ("held", far_off["visit_checks"])


def test_a_visit_corrected_after_it_was_rejected_waits_for_a_person(
    api: Api, stricter_rule: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    address = f"/v1/visits/{api.submit(visit(readings=[reading('ph', 15)]))['visit_id']}"
    decide(api, address.rpartition("/")[2], "reject")
    corrected = api.call("PUT", address, "heron", json=visit(), headers={"If-Match": "*"}).json()
    monkeypatch.undo()  # the usual rule finds nothing to hold
    assert recheck(api) == [True]
    again = api.get(address, "coordinator").json()
    assert (corrected["state"], again["state"], again["flag"]) == ("held", "held", 1)
