"""What a class reads where the form cannot be served: a page, with what was typed and what to do now."""

from collections.abc import Iterator
from typing import Any
from urllib.parse import urlencode

import pytest
from fastapi.testclient import TestClient
from sqlalchemy.exc import OperationalError

from service.app import create_app
from service.core.database import request_session
from service.core.rates import Rates
from service.core.settings import Settings
from service.core.tokens import new_token
from tests.api import Api
from tests.intake.form.pages import FORM, Fields, filled, send, visits

pytestmark = pytest.mark.parametrize("backend", ["sqlite"], indirect=True, scope="session")
HEADERS = {"Content-Type": FORM}


def assert_is_a_page(answer: Any, status: int, *told: str) -> Fields:
    assert answer.status_code == status
    assert answer.headers["content-type"] == "text/html; charset=utf-8"
    assert answer.headers["content-security-policy"].startswith("default-src 'none'")
    assert answer.headers["cache-control"] == "no-store"
    assert answer.headers["x-request-id"]
    for words in ("Nothing was stored.", *told):
        assert words in answer.text
    return Fields(answer.text)


def assert_holds_everything(page: Fields, sent: dict[str, str]) -> None:
    """What was typed is in the page, ready to be sent again; the key is not."""
    lost = {name for name in sent if page.fields.get(name) != sent[name]}
    assert lost - {"key"} == set()
    assert page.fields["key"] == ""


@pytest.fixture
def settings(api: Api) -> Settings:
    return api.client.app.state.settings


@pytest.fixture
def hurried(settings: Settings) -> Iterator[TestClient]:
    """A service that lets an address try two keys a minute."""
    with TestClient(create_app(settings, Rates(per_key=0, per_address=0, failed_keys=2))) as client:
        yield client


def test_after_too_many_wrong_keys_it_says_how_long_to_wait_and_keeps_what_was_typed(
    api: Api, hurried: TestClient
) -> None:
    sent = filled(api, notes="line one & <two>")

    def post(key: str) -> Any:
        return hurried.post("/form", content=urlencode(sent | {"key": key}), headers=HEADERS)

    wrong = new_token()
    assert [post(wrong).status_code for _ in range(2)] == [401, 401]
    answer = post(wrong)
    page = assert_is_a_page(answer, 429, "Too many wrong keys", "Please wait a little", "Team</b> period-2")
    assert f"Wait {answer.headers['retry-after']} seconds" in answer.text
    assert wrong not in answer.text
    assert_holds_everything(page, sent)
    again = page.fields | {"key": api.keys["heron"], "do": "hand_in"}
    assert send(api, again).status_code == 201
    assert len(visits(api)) == 1


@pytest.fixture
def away(settings: Settings) -> Iterator[TestClient]:
    """A service whose database does not answer."""
    app = create_app(settings)

    def none() -> Iterator[None]:
        raise OperationalError("", {}, Exception("away"))
        yield

    app.dependency_overrides[request_session] = none
    with TestClient(app) as client:
        yield client


@pytest.mark.parametrize(("query", "action"), [("", "form"), ("?dry_run=true", "form?dry_run=true")])
def test_where_the_database_is_away_the_form_can_be_sent_again(
    api: Api, away: TestClient, query: str, action: str
) -> None:
    sent = filled(api, **{"a__0__taxon": "mayfly", "a__0__count": "3"})
    answer = away.post(f"/form{query}", content=urlencode(sent), headers=HEADERS)
    page = assert_is_a_page(answer, 503, "does not answer just now", "<b>Animal 1, count</b> 3", "again")
    assert f'<form action="{action}" method="post"' in answer.text
    assert answer.headers["retry-after"] == "5"
    assert_holds_everything(page, sent)
    assert send(api, page.fields | {"key": api.keys["heron"]}).status_code == 201


@pytest.fixture
def broken(settings: Settings) -> Iterator[TestClient]:
    """A service with a fault of its own."""
    app = create_app(settings)

    def none() -> Iterator[None]:
        raise ZeroDivisionError
        yield

    app.dependency_overrides[request_session] = none
    with TestClient(app, raise_server_exceptions=False) as client:
        yield client


def test_a_fault_of_the_service_is_told_with_a_number_for_the_coordinator(
    api: Api, broken: TestClient, caplog: pytest.LogCaptureFixture
) -> None:
    sent = filled(api)
    answer = broken.post("/form", content=urlencode(sent), headers=HEADERS)
    page = assert_is_a_page(answer, 500, "it is no fault of yours", "coordinator")
    assert f"Number of this request: {answer.headers['x-request-id']}" in answer.text
    assert_holds_everything(page, sent)
    assert "unexpected error" in caplog.text


def test_where_all_places_are_taken_the_form_says_so(api: Api, settings: Settings) -> None:
    full = create_app(settings.model_copy(update={"threads": 0, "statement_timeout_s": 0}))
    sent = filled(api)
    answer = TestClient(full).post("/form", content=urlencode(sent), headers=HEADERS)
    assert_holds_everything(assert_is_a_page(answer, 503, "too much to do just now"), sent)


def test_a_form_beyond_the_limit_of_bodies_tells_to_go_back(api: Api) -> None:
    answer = send(api, filled(api) | {"notes": "x" * 1_048_576})
    assert_is_a_page(answer, 413, "larger than any visit can be", "Go back in your browser")
    assert "xxxx" not in answer.text


@pytest.mark.parametrize(
    ("address", "status", "told"),
    [
        ("/form?site=reed-02&kits=no-such-kit", 404, "There is no kit no-such-kit"),
        ("/form?site=reed-02&visit_id=x", 400, "visit_id"),
        ("/form?sight=reed-02", 400, "sight"),
    ],
)
def test_an_address_that_is_wrong_leads_to_the_form(api: Api, address: str, status: int, told: str) -> None:
    page = assert_is_a_page(api.get(address), status, told)
    assert page.links == ["form"]


def test_a_question_for_the_head_alone_gets_no_page(api: Api) -> None:
    answer = api.call("HEAD", "/form?site=reed-02&kits=no-such-kit")
    assert (answer.status_code, answer.content) == (404, b"")


def test_programs_still_get_problems_everywhere_else(api: Api) -> None:
    for address in ("/v1/sites/nowhere/sheet.html", "/forms", "/v1/visits?x=1"):
        assert api.get(address).headers["content-type"] == "application/problem+json"


def test_where_only_keys_may_read_the_form_opens_with_one(api: Api, settings: Settings) -> None:
    closed = TestClient(create_app(settings.model_copy(update={"public_read": False})))

    def post(**typed: str) -> Any:
        return closed.post("/form", content=urlencode(typed), headers=HEADERS)

    page = assert_is_a_page(closed.get("/form"), 401, "The key of a school is needed", "Key of the school")
    assert set(page.controls) >= {"site", "key"}
    wrong = post(site="reed-02", key=new_token(), do="open")
    assert_is_a_page(wrong, 401, "not known here")
    assert "www-authenticate" in wrong.headers
    opened = post(site="reed-02", key=api.keys["heron"], do="open")
    assert opened.status_code == 200
    fields = Fields(opened.text).fields
    assert fields["site"] == "reed-02"
    assert post(**(fields | filled(api) | {"visit_id": fields["visit_id"]})).status_code == 201
