"""The life of a key: shown once, stored hashed, refused when it is no longer good."""

import uuid
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from service.core.tokens import PREFIX, fingerprint, new_token
from tests.api import Api, visit
from tests.broken_rules import misjudged
from tests.databases import read_content


def today() -> date:
    return datetime.now(UTC).date()


def revoke(api: Api, key_id: str) -> Any:
    return api.call("DELETE", f"/v1/keys/{key_id}", "coordinator")


@pytest.mark.parametrize(
    "sent", ["Basic aGVyb246eA==", "Bearer", "Bearer ", "Token x", "Bearer \xe9\xff", "x" * 5000]
)
def test_a_header_that_carries_no_key_is_refused_and_not_taken_for_the_public(
    empty_api: Api, sent: str
) -> None:
    for address in ("/v1/visits", "/v1/keys"):
        answer = empty_api.call("GET", address, headers={"Authorization": sent.encode("latin-1")})
        assert (answer.status_code, answer.headers["www-authenticate"]) == (401, "Bearer")


def test_the_word_bearer_may_be_written_in_any_case(empty_api: Api) -> None:
    # RFC 9110, section 11.1: the name of an authentication scheme is case-insensitive.
    headers = {"Authorization": f"bearer {empty_api.keys['coordinator']}"}
    assert empty_api.call("GET", "/v1/keys", headers=headers).status_code == 200


def test_a_key_is_shown_once_and_stored_nowhere_in_clear(api: Api) -> None:
    made = api.post("/v1/keys", {"role": "school", "school": "heron", "label": "period 3"}).json()
    token = made["key"]
    api.submit(visit(), token)
    stored = str([rows for _, rows in read_content(api.engine)])
    listed = api.get("/v1/keys", "coordinator").text
    assert made["id"] in listed
    assert fingerprint(token) in stored
    assert fingerprint(token) not in listed
    for part in (token, token.removeprefix(PREFIX)[:20]):
        assert part not in stored
        assert part not in listed


def test_no_problem_repeats_the_key_that_was_sent(empty_api: Api) -> None:
    for token in (new_token(), "wb_my-own-secret"):
        assert token not in empty_api.get("/v1/visits", token).text


@pytest.mark.parametrize(("days", "status"), [(1, 200), (0, 200), (-1, 401)])
def test_a_key_works_to_the_end_of_its_last_day(empty_api: Api, days: int, status: int) -> None:
    last = today() + timedelta(days=days)
    made = empty_api.post(
        "/v1/keys", {"role": "reader", "label": "for a term", "expires_on": str(last)}
    ).json()
    assert made["expires_on"] == str(last)
    assert empty_api.get("/v1/visits", made["key"]).status_code == status


def test_a_revoked_key_is_refused_at_once_and_stays_listed(api: Api) -> None:
    made = api.post("/v1/keys", {"role": "school", "school": "heron", "label": "lost tablet"}).json()
    assert api.post("/v1/visits?dry_run=true", visit(), made["key"]).status_code == 200
    revoked = revoke(api, made["id"]).json()
    assert api.post("/v1/visits?dry_run=true", visit(), made["key"]).status_code == 401
    assert api.get("/v1/visits", made["key"]).status_code == 401
    assert revoked in api.every("/v1/keys", "coordinator")
    assert revoked["revoked_at"] is not None
    assert revoke(api, made["id"]).json() == revoked


@pytest.mark.parametrize("key_id", [str(uuid.UUID(int=7)), "not-a-uuid"])
def test_a_key_that_is_not_there_cannot_be_revoked(empty_api: Api, key_id: str) -> None:
    assert revoke(empty_api, key_id).status_code == 404


BROKEN = [
    ({"role": "school", "label": "x"}, "", "names its school"),
    ({"role": "reader", "label": "x", "school": "heron"}, "", "name none"),
    ({"role": "coordinator", "label": "x", "school": "heron"}, "", "name none"),
    ({"role": "school", "label": "x", "school": "nobody"}, "/school", "no school nobody"),
    ({"role": "owner", "label": "x"}, "/role", "coordinator"),
    ({"role": "reader"}, "/label", "missing"),
    ({"role": "reader", "label": ""}, "/label", "at least 1"),
    ({"role": "reader", "label": "x", "expires_on": "soon"}, "/expires_on", "year-month-day"),
    ({"role": "reader", "label": "x", "key": "wb_mine"}, "/key", "not known here"),
]


def test_a_key_that_makes_no_sense_is_not_made(api: Api) -> None:
    before = api.every("/v1/keys", "coordinator")
    assert misjudged(lambda body: api.post("/v1/keys", body), BROKEN) == []
    assert api.every("/v1/keys", "coordinator") == before
