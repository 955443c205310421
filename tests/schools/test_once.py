"""A request with an Idempotency-Key: carried out once, answered as often as it is sent."""

from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest

from tests.api import Api, reading, visit
from tests.databases import read_content

KEY = '"8e03978e-40d5-43dd-bc93-6894a57f9324"'
SCHOOL = {"code": "ibis", "name": "Ibis School", "time_zone": "UTC"}


def send(api: Api, address: str, body: Any, token: str | bytes = KEY, key: str = "coordinator") -> Any:
    return api.call("POST", address, key, json=body, headers={"Idempotency-Key": token})


def test_sent_again_it_is_answered_as_before(api: Api) -> None:
    first = send(api, "/v1/schools", SCHOOL)
    again = send(api, "/v1/schools", SCHOOL)
    assert (first.status_code, again.status_code, again.json()) == (201, 201, first.json())


def test_without_a_key_of_its_own_the_same_request_is_another(api: Api) -> None:
    assert api.post("/v1/schools", SCHOOL).status_code == 201
    assert api.post("/v1/schools", SCHOOL).status_code == 409


def test_the_quotes_of_a_structured_field_are_not_part_of_it(api: Api) -> None:
    # draft-ietf-httpapi-idempotency-key-header-07: the value is a string, with quotes.
    first = send(api, "/v1/schools", SCHOOL, KEY)
    assert send(api, "/v1/schools", SCHOOL, KEY.strip('"')).json() == first.json()


@pytest.mark.parametrize(
    ("address", "body"),
    [("/v1/schools", SCHOOL | {"name": "Another"}), ("/v1/keys", {"role": "reader", "label": "board"})],
)
def test_the_key_of_one_request_does_not_serve_another(api: Api, address: str, body: Any) -> None:
    send(api, "/v1/schools", SCHOOL)
    answer = send(api, address, body)
    assert answer.status_code == 422
    assert "Idempotency-Key" in answer.json()["errors"][0]["message"]


@pytest.mark.parametrize("token", ["\0", "caf\xe9", "a\tb", "k" * 256, f'"{"k" * 256}"'])
def test_a_key_that_no_text_field_may_hold_is_refused(api: Api, token: str) -> None:
    # RFC 9651, section 3.3.3: strings are of printable ASCII
    answer = send(api, "/v1/schools", SCHOOL, token.encode("latin-1"))
    assert answer.status_code in (400, 422)
    assert "dempotency-" in answer.text
    assert send(api, "/v1/schools", SCHOOL | {"code": "teal"}, f'"{"k" * 255}"').status_code == 201
    assert send(api, "/v1/schools", SCHOOL).status_code == 201


def test_a_key_is_its_callers_own(api: Api) -> None:
    for who, code in (("heron", "box-a"), ("otter", "box-b")):
        body = {"school": who, "code": code, "kit": "ph-meter"}
        assert send(api, "/v1/kit-lots", body, key=who).status_code == 201


def test_a_request_that_failed_keeps_nothing_and_may_be_mended(api: Api) -> None:
    bad = {"code": "ash-01", "name": "Ash", "school": "no-such-school"}
    assert send(api, "/v1/sites", bad).status_code == 422
    assert send(api, "/v1/sites", bad | {"school": "heron"}).status_code == 201


def test_a_key_is_made_once_and_never_kept_in_clear(api: Api) -> None:
    body = {"role": "reader", "label": "notice board"}
    first = send(api, "/v1/keys", body)
    again = send(api, "/v1/keys", body)
    assert (first.status_code, again.status_code) == (201, 409)
    assert first.json()["id"] in again.json()["detail"]
    assert first.json()["key"] not in str([rows for _, rows in read_content(api.engine)])
    assert len([row for row in api.every("/v1/keys", "coordinator") if row["label"] == "notice board"]) == 1


def test_a_decision_is_made_once(api: Api) -> None:
    stored = api.submit(visit(readings=[reading("ph", 15)]))
    address = f"/v1/visits/{stored['visit_id']}/decisions"
    body = {"action": "release", "reason": "a bog"}
    first, again = send(api, address, body), send(api, address, body)
    assert (first.status_code, again.status_code, again.json()) == (200, 200, first.json())
    assert len(api.get(address, "coordinator").json()["items"]) == 1


@pytest.mark.parametrize("token", ["", '""', "x" * 300])
def test_an_empty_or_endless_key_is_refused(api: Api, token: str) -> None:
    assert send(api, "/v1/schools", SCHOOL, token).status_code == 400


def test_of_eight_at_once_one_is_carried_out_and_all_are_answered_alike(api: Api) -> None:
    with ThreadPoolExecutor(8) as pool:
        answers = list(pool.map(lambda _: send(api, "/v1/schools", SCHOOL), range(8)))
    assert {answer.status_code for answer in answers} == {201}
    assert len({answer.text for answer in answers}) == 1
    assert [row["code"] for row in api.every("/v1/schools")].count("ibis") == 1
