"""Correcting a visit: what counts, what stays readable, and that nobody overwrites what he has not seen."""

import uuid
from typing import Any

import pytest

from tests.api import Api, Json, reading, visit

WARMER = [reading("water_temperature", 7.0, "degC", kit="thermometer-alcohol")]
IMPOSSIBLE = [reading("ph", 15)]


def put(api: Api, visit_id: str, body: Json, etag: str | None, key: str = "heron") -> Any:
    headers = {} if etag is None else {"If-Match": etag}
    return api.call("PUT", f"/v1/visits/{visit_id}", key, json=body, headers=headers)


def tag(api: Api, visit_id: str, key: str = "heron") -> str:
    return str(api.get(f"/v1/visits/{visit_id}", key).headers["etag"])


@pytest.fixture
def stored(api: Api) -> Json:
    return api.submit(visit(notes="a cold morning"))


def test_a_correction_counts_from_now_on_and_the_first_version_stays_readable(api: Api, stored: Json) -> None:
    visit_id = stored["visit_id"]
    answer = put(api, visit_id, visit(readings=WARMER), tag(api, visit_id))
    assert answer.status_code == 200
    assert (answer.json()["revision"], answer.json()["state"]) == (2, "released")
    assert api.get(f"/v1/visits/{visit_id}").json()["readings"][0]["value"] == 7.0
    assert [row["value"] for row in api.every("/v1/readings")] == [7.0]
    handed_in = api.get(f"/v1/visits/{visit_id}/revisions", "heron").json()["items"]
    assert [row["revision"] for row in handed_in] == [1, 2]
    assert [len(row["handed_in"]["readings"]) for row in handed_in] == [3, 1]
    assert handed_in[0]["handed_in"]["notes"] == "a cold morning"


def test_the_tag_that_came_with_the_first_answer_serves_for_the_first_correction(api: Api) -> None:
    answer = api.post("/v1/visits", visit(conditions={"weather": "fog", "flow": "low"}), "heron")
    visit_id = answer.json()["visit_id"]
    assert put(api, visit_id, visit(readings=WARMER), answer.headers["etag"]).status_code == 200


def test_a_correction_is_checked_like_a_new_visit(api: Api, stored: Json) -> None:
    answer = put(api, stored["visit_id"], visit(readings=IMPOSSIBLE), tag(api, stored["visit_id"]))
    assert answer.json()["state"] == "held"
    assert api.get(f"/v1/visits/{stored['visit_id']}").status_code == 404
    assert api.every("/v1/visits") == []


def test_the_visit_is_not_its_own_past(api: Api, stored: Json) -> None:
    # Copy-forward and twins would find the first revision if it still counted.
    before = api.get(f"/v1/visits/{stored['visit_id']}", "heron").json()
    answer = put(api, stored["visit_id"], visit(notes="another note"), tag(api, stored["visit_id"])).json()
    assert answer["visit_checks"] == before["visit_checks"]
    assert answer["state"] == "released"


def test_without_the_version_nothing_is_changed(api: Api, stored: Json) -> None:
    answer = put(api, stored["visit_id"], visit(readings=WARMER), None)
    assert answer.status_code == 428
    assert "If-Match" in answer.json()["detail"]
    assert api.get(f"/v1/visits/{stored['visit_id']}", "heron").json()["revision"] == 1


@pytest.mark.parametrize("etag", ['"no such version"', "no quotes", "", 'W/"weak"'])
def test_another_version_is_refused(api: Api, stored: Json, etag: str) -> None:
    answer = put(api, stored["visit_id"], visit(readings=WARMER), etag)
    assert answer.status_code == 412
    assert api.get(f"/v1/visits/{stored['visit_id']}", "heron").json()["revision"] == 1


def test_a_weak_tag_of_what_stands_is_no_strong_one(api: Api, stored: Json) -> None:
    # RFC 9110, section 13.1.1: If-Match compares strongly.
    etag = tag(api, stored["visit_id"])
    assert put(api, stored["visit_id"], visit(readings=WARMER), f"W/{etag}").status_code == 412
    assert put(api, stored["visit_id"], visit(readings=WARMER), f'"x", {etag}').status_code == 200


def test_a_version_that_somebody_has_changed_since_is_refused(api: Api, stored: Json) -> None:
    visit_id = stored["visit_id"]
    seen = tag(api, visit_id)
    assert put(api, visit_id, visit(readings=WARMER), seen).status_code == 200
    assert put(api, visit_id, visit(readings=WARMER, notes="late"), seen).status_code == 412
    decided = tag(api, visit_id)
    decision = {"action": "reject", "reason": "typed in twice"}
    assert api.post(f"/v1/visits/{visit_id}/decisions", decision).status_code == 200
    assert put(api, visit_id, visit(notes="after the decision"), decided).status_code == 412


def test_the_same_correction_sent_again_is_answered_and_makes_no_revision(api: Api, stored: Json) -> None:
    visit_id, seen = stored["visit_id"], tag(api, stored["visit_id"])
    first = put(api, visit_id, visit(readings=WARMER), seen)
    again = put(api, visit_id, visit(readings=WARMER), seen)
    assert (again.status_code, again.json()) == (200, first.json())


def test_the_first_submission_sent_again_after_a_correction_is_still_known(api: Api) -> None:
    body = visit(visit_id=str(uuid.uuid4()))
    api.submit(body)
    put(api, body["visit_id"], visit(readings=WARMER), tag(api, body["visit_id"]))
    again = api.post("/v1/visits", body, "heron")
    assert (again.status_code, again.json()["revision"]) == (200, 2)


def test_what_a_person_rejected_waits_for_a_person_again(api: Api, stored: Json) -> None:
    visit_id = stored["visit_id"]
    api.post(f"/v1/visits/{visit_id}/decisions", {"action": "reject", "reason": "another creek"})
    answer = put(api, visit_id, visit(readings=WARMER), tag(api, visit_id)).json()
    assert (answer["state"], answer["revision"]) == ("held", 2)


def test_a_correction_may_move_a_visit_only_to_a_site_of_the_same_school(api: Api, stored: Json) -> None:
    etag = tag(api, stored["visit_id"], "coordinator")
    answer = put(api, stored["visit_id"], visit("fern-01"), etag, "coordinator")
    assert answer.status_code == 422
    assert answer.json()["errors"][0]["pointer"] == "/site"


def test_an_alert_that_was_seen_is_not_raised_again_by_a_correction(api: Api) -> None:
    stored = api.submit(visit(conditions={"dead_fish": True}))
    visit_id = stored["visit_id"]
    api.post(f"/v1/alerts/{visit_id}/fish-kill/acknowledge", None)
    again = put(api, visit_id, visit(conditions={"dead_fish": True}, notes="n"), tag(api, visit_id)).json()
    assert [(alert["alert"], alert["acknowledged"]) for alert in again["alerts"]] == [("fish-kill", True)]


def test_a_withdrawn_visit_leaves_every_list_and_stays_readable_for_its_school(
    api: Api, stored: Json
) -> None:
    address = f"/v1/visits/{stored['visit_id']}"
    answer = api.call("DELETE", address, "heron")
    assert (answer.status_code, answer.json()["state"]) == (200, "withdrawn")
    assert api.call("DELETE", address, "heron").status_code == 200
    for listed in ("/v1/visits", "/v1/readings", "/v1/scores"):
        assert api.every(listed, "coordinator") == []
    assert [api.get(address, who).status_code for who in (None, "otter", "heron")] == [404, 404, 200]
    assert put(api, stored["visit_id"], visit(), tag(api, stored["visit_id"])).status_code in (200, 409)
    refused = put(api, stored["visit_id"], visit(readings=WARMER), tag(api, stored["visit_id"]))
    assert refused.status_code == 409
    assert "withdrawn" in refused.json()["detail"]


def test_a_withdrawal_of_another_version_is_refused(api: Api, stored: Json) -> None:
    address = f"/v1/visits/{stored['visit_id']}"
    answer = api.call("DELETE", address, "heron", headers={"If-Match": '"another"'})
    assert answer.status_code == 412
    assert api.get(address).status_code == 200


def test_a_corrected_blank_speaks_for_its_box_and_a_withdrawn_one_no_longer(api: Api) -> None:
    api.post("/v1/kit-lots", {"school": "heron", "code": "box-a", "kit": "nitrate-zinc-comparator"})

    def blank(value: float) -> Json:
        row = reading("nitrate", value, "mg/L as N", kit="nitrate-zinc-comparator", kit_lot="box-a")
        return visit(kind="field-blank", readings=[row])

    def failed_on() -> str | None:
        (box,) = api.every("/v1/kit-lots", "heron")
        return box["blank_failed_on"]

    stored = api.submit(blank(2.0))
    assert failed_on() == "2026-03-12"
    put(api, stored["visit_id"], blank(0.0), tag(api, stored["visit_id"]))
    assert failed_on() is None
    put(api, stored["visit_id"], blank(1.0), tag(api, stored["visit_id"]))
    assert failed_on() == "2026-03-12"
    api.call("DELETE", f"/v1/visits/{stored['visit_id']}", "heron")
    assert failed_on() is None


def test_a_tag_is_of_what_the_caller_sees(api: Api, stored: Json) -> None:
    visit_id = stored["visit_id"]
    public = api.get(f"/v1/visits/{visit_id}").headers["etag"]
    assert public != tag(api, visit_id)
    put(api, visit_id, visit(notes="only the private note is another"), tag(api, visit_id))
    now = api.get(f"/v1/visits/{visit_id}")
    assert now.json()["revision"] == 2  # the public sees that there is a new revision, and no more
    assert put(api, visit_id, visit(readings=WARMER), public).status_code == 412


def test_who_holds_what_stands_is_told_so_in_a_word(api: Api, stored: Json) -> None:
    address = f"/v1/visits/{stored['visit_id']}"
    plain = {"Accept-Encoding": "identity"}  # compressed, it has a tag of its own
    etag = api.call("GET", address, headers=plain).headers["etag"]
    for held in (etag, f"W/{etag}", f'"x", {etag}', "*"):
        answer = api.call("GET", address, headers={"If-None-Match": held} | plain)
        assert (answer.status_code, answer.content, answer.headers["etag"]) == (304, b"", etag)
    assert api.call("GET", address, headers={"If-None-Match": '"x"'}).status_code == 200
