"""No address that answers a GET tells what is private, whatever is asked of it and however it answers.

Two networks are entered that are alike in all that is public and differ in all that is private: notes, codes
of teams, hours, exact places, contacts, labels of keys, reasons of decisions, and whatever is not released.
No answer may hold a secret; and as all answers are the same in both, no filter, order, page, number or error
can be used to find one out either.
"""

import pytest

from tests.api import Api, Json, visit
from tests.contracts.planted_network import (
    HELD,
    NIGHT,
    PLANTED,
    REJECTED,
    RELEASED,
    SITE,
    TWIN,
    WITHDRAWN,
    plant,
    secrets_of,
)
from tests.contracts.privacy_walk import PARTS, QUERIES, asked_of, lasting, text_of, walk
from tests.databases import read_content, restore_content

pytestmark = pytest.mark.parametrize("backend", ["sqlite"], indirect=True, scope="session")
Told = dict[tuple[str, str | None], dict[str, str]]
WALKED: Told = {}


def enter_planted(api: Api) -> None:
    plant(api, PLANTED)


@pytest.fixture
def told(api: Api) -> Told:
    """What each network told to whom, by address."""
    if not WALKED:
        document, empty = api.client.app.openapi(), read_content(api.engine)
        for private, callers in ((PLANTED, (None, "reader", "otter")), (TWIN, (None,))):
            restore_content(api.engine, empty)
            plant(api, private)
            for who in callers:
                WALKED[private.mark, who] = walk(api, document, who, few=who is not None)
    return WALKED


def test_it_is_known_what_to_ask_every_address_by(api: Api) -> None:
    for path, parts, queries in asked_of(api.client.app.openapi()):
        assert set(parts) <= set(PARTS), f"say in PARTS what {path} is asked with"
        assert set(queries) <= set(QUERIES), f"say in QUERIES what {path} is asked by"


@pytest.mark.parametrize("who", [None, "reader", "otter"])
def test_no_answer_holds_a_secret(told: Told, who: str | None) -> None:
    answers, secrets = told[PLANTED.mark, who], secrets_of(PLANTED)
    assert sum(text.startswith("200") for text in answers.values()) > 150
    assert [(address, found[0]) for address, text in answers.items() if (found := secrets.search(text))] == []


def test_what_is_private_leaves_no_trace_in_what_is_public(told: Told) -> None:
    of_the_one, of_the_other = told[PLANTED.mark, None], told[TWIN.mark, None]
    assert set(of_the_one) == set(of_the_other)
    traces = [
        address for address, text in of_the_one.items() if lasting(text) != lasting(of_the_other[address])
    ]
    assert traces == []


def test_the_school_itself_finds_every_secret_so_they_are_there_to_be_found(api: Api) -> None:
    api.once(enter_planted)
    own = [api.get(f"/v1/schools/heron{end}", "heron").text for end in ("", "/export")]
    own += [
        api.get(address, "heron").text
        for address in (f"/v1/sites/{SITE}", f"/v1/visits/{REJECTED}/decisions")
    ]
    own += [
        api.get(address, "coordinator").text for address in ("/v1/keys", "/v1/audit", "/v1/visits?state=held")
    ]
    for secret in (
        PLANTED.mark, PLANTED.day, str(PLANTED.value), str(PLANTED.place[0]), ".271828", str(HELD),
        f"gate code {PLANTED.mark}", f"team-{PLANTED.mark}", f"{PLANTED.mark}@heron.example",
        f"wall {PLANTED.mark}", f"box-{PLANTED.mark}", f"seen by {PLANTED.mark}", f"thing {PLANTED.mark}",
    ):  # fmt: skip
        assert any(secret in text for text in own), secret


def test_no_refusal_of_a_deed_tells_what_is_anothers(api: Api) -> None:
    api.once(enter_planted)
    once = {"headers": {"Idempotency-Key": f"once-{PLANTED.mark}"}}
    tag = {"headers": {"If-Match": '"x"'}}
    deeds: list[tuple[str, str, Json]] = [
        ("POST", "/v1/kit-lots", {"json": {"school": "otter", "code": "box-a", "kit": "ph-meter"}} | once),
        ("POST", "/v1/kit-lots", {"json": {"school": "heron", "code": "box-a", "kit": "ph-meter"}}),
        ("PATCH", "/v1/schools/heron", {"json": {"name": "Mine"}}),
        ("DELETE", "/v1/schools/heron/private", {"json": {"confirm": "heron"}}),
        ("PATCH", f"/v1/sites/{SITE}", {"json": {"stream_km": 1.0}}),
    ]
    for visit_id in (RELEASED, HELD, REJECTED, WITHDRAWN, NIGHT):
        address = f"/v1/visits/{visit_id}"
        deeds += [
            ("PUT", address, {"json": visit(SITE)} | tag),
            ("PUT", address, {"json": visit("reed-01")} | tag),
            ("DELETE", address, tag),
            ("POST", "/v1/visits", {"json": visit("reed-01", visit_id=str(visit_id))}),
            ("POST", f"{address}/decisions", {"json": {"action": "release", "reason": "mine"}}),
            ("POST", f"/v1/alerts/{visit_id}/fish-kill/acknowledge", {}),
        ]
    secrets = secrets_of(PLANTED)
    for who in ("otter", "reader", None):
        for method, address, more in deeds:
            answer = api.call(method, address, who, **more)
            told = text_of(answer).replace(more.get("json", {}).get("visit_id", "-"), "-")
            assert answer.is_error or "otter" in answer.text
            assert not secrets.search(told), (who, method, address, told)
