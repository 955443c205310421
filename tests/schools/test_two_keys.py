"""A school has two keys at most, the old one and the new; revoking one works at once, wherever it is used."""

from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta
from typing import Any

from fastapi.testclient import TestClient

from service.app import create_app
from service.core.settings import Settings
from tests.api import Api


def make(api: Api, school: str = "heron", **more: Any) -> Any:
    return api.post("/v1/keys", {"role": "school", "school": school, "label": "tablet"} | more)


def test_a_third_key_is_refused_until_one_is_revoked(api: Api) -> None:
    second = make(api)
    third = make(api)
    assert (second.status_code, third.status_code) == (201, 422)
    (error,) = third.json()["errors"]
    assert error["pointer"] == "/school"
    assert "heron has 2 keys in use" in error["message"]
    assert "revoke one" in error["message"]
    assert make(api, "otter").status_code == 201
    assert api.call("DELETE", f"/v1/keys/{second.json()['id']}", "coordinator").status_code == 200
    assert make(api).status_code == 201
    assert make(api).status_code == 422


def test_a_key_that_expired_takes_no_place(api: Api) -> None:
    today = datetime.now(UTC).date()
    assert make(api, expires_on=str(today - timedelta(days=1))).status_code == 201
    assert make(api, expires_on=str(today)).status_code == 201
    assert make(api).status_code == 422


def test_of_eight_asked_for_at_once_one_is_made(api: Api) -> None:
    with ThreadPoolExecutor(8) as pool:
        answered = list(pool.map(lambda _: make(api).status_code, range(8)))
    assert sorted(answered) == [201] + [422] * 7


def test_the_others_have_as_many_as_they_need(api: Api) -> None:
    for role in ("reader", "coordinator"):
        made = [api.post("/v1/keys", {"role": role, "label": "x"}).status_code for _ in range(3)]
        assert made == [201] * 3


def test_a_revoked_key_is_refused_by_every_worker_at_once(api: Api) -> None:
    url = api.engine.url.render_as_string(hide_password=False)
    made = make(api).json()
    headers = {"Authorization": f"Bearer {made['key']}"}
    with TestClient(create_app(Settings(database_url=url))) as other_worker:
        assert other_worker.get("/v1/kit-lots", headers=headers).status_code == 200
        api.call("DELETE", f"/v1/keys/{made['id']}", "coordinator")
        assert other_worker.get("/v1/kit-lots", headers=headers).status_code == 401
