"""What keeps the form safe: the key, who may hand in, how much may be sent, and what the page may load."""

import gzip
import json
import logging
from datetime import UTC, datetime, timedelta
from urllib.parse import urlencode

import pytest
from fastapi.testclient import TestClient

from service.app import create_app
from service.core.rates import Rates
from service.core.settings import Settings
from service.core.tokens import new_token
from service.schools.tables import Role
from tests.api import Api
from tests.intake.form.pages import FORM, Fields, filled, send, visits

pytestmark = pytest.mark.parametrize("backend", ["sqlite"], indirect=True, scope="session")


def test_only_the_key_of_the_school_or_the_coordinator_hands_in(api: Api) -> None:
    expired = api.key(Role.SCHOOL, "heron", expires_on=datetime.now(UTC).date() - timedelta(days=1))
    told = {
        "": 401,
        "wb_mangled": 401,
        new_token(): 401,
        expired: 401,
        api.keys["reader"]: 403,
        api.keys["otter"]: 403,
        api.keys["heron"]: 201,
    }
    for key, status in told.items():
        for dry_run in (True, False):
            answer = send(api, filled(api) | {"key": key}, dry_run=dry_run)
            assert answer.status_code == (200 if dry_run and status == 201 else status)
            assert answer.headers["content-type"].startswith("text/html")
            assert ("www-authenticate" in answer.headers) == (status == 401)
            assert Fields(answer.text).fields["r-ph-value"] == "7"
    assert len(visits(api)) == 1
    assert send(api, filled(api) | {"key": api.keys["coordinator"], "time": "12:00"}).status_code == 201


def test_the_key_stands_in_no_answer_and_in_no_log(api: Api, caplog: pytest.LogCaptureFixture) -> None:
    caplog.set_level(logging.DEBUG)
    good, wrong = api.keys["heron"], new_token()
    for key in (good, wrong):
        for typed in ({}, {"r-ph-value": "7,5"}, {"site": "nowhere"}):
            fields = filled(api) | {"key": key} | typed
            for dry_run in (True, False):
                answer = send(api, fields, dry_run=dry_run)
                assert key not in answer.text
                assert key not in str(answer.headers)
    logged = caplog.text + json.dumps([str(one.__dict__) for one in caplog.records])
    assert "answered" in logged
    assert good not in logged
    assert wrong not in logged


def test_a_page_loads_nothing_runs_nothing_and_sends_only_to_its_own_service(api: Api) -> None:
    pages = [api.get("/form"), api.get("/form?site=reed-02"), send(api, filled(api))]
    pages.append(api.get("/v1/sites/reed-02/sheet.html"))
    for page in pages:
        policy = page.headers["content-security-policy"]
        assert policy.startswith("default-src 'none'; style-src 'sha256-")
        assert {"form-action 'self'", "frame-ancestors 'none'", "base-uri 'none'"} <= set(policy.split("; "))
        assert "unsafe" not in policy
        assert page.headers["referrer-policy"] == "no-referrer"
        assert page.headers["x-content-type-options"] == "nosniff"
        assert "set-cookie" not in page.headers
        found = Fields(page.text)
        assert not {"script", "img", "link", "iframe", "object"} & set(found.tags)
        assert not [link for link in found.links if "//" in link]
        assert " style=" not in page.text
        assert not [name for one in found.controls.values() for name in one if name.startswith("on")]
    assert pages[2].headers["cache-control"] == "no-store"


def test_what_others_have_named_is_shown_as_text(api: Api) -> None:
    name = "<b>&\"' \u0141\u00f3d\u017a"
    assert api.call("PATCH", "/v1/sites/reed-02", "coordinator", json={"name": name}).status_code == 200
    for address in ("/form", "/form?site=reed-02", "/v1/sites/reed-02/sheet.html"):
        text = api.get(address).text
        assert "<b>&" not in text
        assert "&lt;b&gt;&amp;&#34;&#39; \u0141\u00f3d\u017a" in text
    sent = filled(api) | {"notes": "</textarea><script>", "r-ph-value": '"><script>'}
    assert "<script" not in send(api, sent).text


def test_the_page_is_small_and_every_field_has_its_words(api: Api) -> None:
    page = api.get("/form?site=reed-02")
    assert len(gzip.compress(page.content)) < 10_000  # as it goes over the line
    assert len(page.content) < 40_000
    found = Fields(page.text)
    assert 'lang="en"' in page.text
    assert len(found.ids) == len(set(found.ids))
    wordless = [
        name
        for name, told in found.controls.items()
        if not told.get("aria-label") and told.get("id") not in found.labelled
    ]
    assert wordless == []
    assert found.controls["key"]["type"] == "password"
    assert found.controls["r-ph-value"]["inputmode"] == "decimal"


@pytest.mark.parametrize(
    ("content", "media_type"),
    [
        (b"{}", "application/json"),
        (b"site=reed-02", "text/plain"),
        (b"site=%ff", FORM),
        ("site=\u00e9".encode(), FORM),
        (b"site=reed-02&site=fern-01", FORM),
        (b"&".join(b"f%d=" % number for number in range(1_001)), FORM),
    ],
)
def test_what_no_form_sends_is_refused(api: Api, content: bytes, media_type: str) -> None:
    answer = api.call("POST", "/form", content=content, headers={"Content-Type": media_type})
    assert answer.status_code == (422 if content == b"{}" else 400)
    assert "Open the form of your site anew" in answer.text


def test_wrong_keys_of_the_form_are_counted_like_all_others(api: Api) -> None:
    settings: Settings = api.client.app.state.settings
    client = TestClient(create_app(settings, Rates(per_key=0, per_address=0, failed_keys=3)))
    fields = filled(api)

    def sent(key: str) -> int:
        content = urlencode(fields | {"key": key})
        return client.post("/form", content=content, headers={"Content-Type": FORM}).status_code

    assert [sent("") for _ in range(5)] == [401] * 5  # nobody has guessed
    assert sent(api.keys["heron"]) == 201
    assert [sent(new_token()) for _ in range(4)] == [401, 401, 401, 429]
    bearer = {"Authorization": f"Bearer {new_token()}"}
    assert client.get("/v1/visits", headers=bearer).status_code == 429
    assert client.get("/form?site=reed-02").status_code == 200


def test_a_network_that_answers_only_to_keys_names_no_site(api: Api) -> None:
    app = api.client.app
    usual = app.state.settings
    app.state.settings = usual.model_copy(update={"public_read": False})
    try:
        assert api.get("/form").status_code == 401
        assert api.get("/v1/sites/reed-02/sheet.pdf").status_code == 401
        answer = send(api, {"site": "reed-02", "key": ""})
        assert answer.status_code == 401
        assert "Reed-02" not in answer.text
    finally:
        app.state.settings = usual
