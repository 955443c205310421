"""Who may do what: every address against every kind of caller, and the life of a key."""

import uuid
from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from fastapi.routing import iter_route_contexts

from service.core.tokens import PREFIX, fingerprint, new_token
from service.schools.tables import Role
from tests.api import Api, reading, visit
from tests.broken_rules import misjudged
from tests.databases import read_content
from tests.network.reference_network import define, index_body, submit_reference

# Statuses by caller. "bad" stands for each of four keys that are not good: one never given, one mangled, one
# revoked, one expired; all would be a coordinator's. "own" is the school that owns what is asked for.
TABLE = """
method path                              nobody  bad  own  other  reader  coordinator
GET    /healthz                             200  200  200    200     200          200
GET    /readyz                              200  200  200    200     200          200
GET    /openapi.json                        200  200  200    200     200          200
GET    /docs                                200  200  200    200     200          200
GET    /docs/oauth2-redirect                200  200  200    200     200          200
GET    /static-offline-docs                 200  200  200    200     200          200
GET    /metrics                             401  401  403    403     200          200
GET    /v1/catalogue/{part}                 200  200  200    200     200          200
GET    /v1/schools                          200  401  200    200     200          200
GET    /v1/schools/{code}                   200  401  200    200     200          200
GET    /v1/schools/{code}/export            401  401  200    403     403          200
GET    /v1/sites                            200  401  200    200     200          200
GET    /v1/sites/latest                     200  401  200    200     200          200
GET    /v1/coverage                         200  401  200    200     200          200
GET    /v1/sites/{code}                     200  401  200    200     200          200
GET    /v1/kits                             200  401  200    200     200          200
GET    /v1/criteria                         200  401  200    200     200          200
GET    /v1/criteria/{code}                  200  401  200    200     200          200
GET    /v1/indices                          200  401  200    200     200          200
GET    /v1/indices/{code}                   200  401  200    200     200          200
GET    /v1/watersheds                       200  401  200    200     200          200
GET    /v1/watersheds/{code}/summary        200  401  200    200     200          200
GET    /v1/watersheds/{code}/ranking        200  401  200    200     200          200
GET    /v1/sites/{site}/ccme                200  401  200    200     200          200
GET    /v1/sites/{site}/bacteria            200  401  200    200     200          200
GET    /v1/streams/{stream}/profile         200  401  200    200     200          200
GET    /v1/sites/{site}/trend               200  401  200    200     200          200
GET    /v1/visits                           200  401  200    200     200          200
GET    /v1/readings                         200  401  200    200     200          200
GET    /v1/scores                           200  401  200    200     200          200
GET    /v1/visits/{visit_id}                200  401  200    200     200          200
GET    /v1/visits/{visit_id}#held           404  401  200    404     404          200
GET    /v1/visits/{visit_id}/decisions      401  401  200    404     403          200
GET    /v1/changes                          200  401  200    200     200          200
GET    /v1/sites.{ending}                   200  401  200    200     200          200
GET    /v1/visits.{ending}                  200  401  200    200     200          200
GET    /v1/readings.{ending}                200  401  200    200     200          200
GET    /v1/scores.{ending}                  200  401  200    200     200          200
GET    /v1/exports/sites.{ending}           200  401  200    200     200          200
GET    /v1/exports/visits.{ending}          200  401  200    200     200          200
GET    /v1/exports/readings.{ending}        200  401  200    200     200          200
GET    /v1/exports/scores.{ending}          200  401  200    200     200          200
GET    /v1/datapackage.json                 200  200  200    200     200          200
GET    /v1/schema/{name}.json               200  200  200    200     200          200
GET    /ogc                                200  401  200    200     200          200
GET    /ogc/                               200  401  200    200     200          200
GET    /ogc/conformance                    200  401  200    200     200          200
GET    /ogc/collections                    200  401  200    200     200          200
GET    /ogc/collections/{code}             200  401  200    200     200          200
GET    /ogc/collections/{code}/schema      200  401  200    200     200          200
GET    /ogc/collections/sites/items        200  401  200    200     200          200
GET    /ogc/collections/readings/items     200  401  200    200     200          200
GET    /ogc/collections/scores/items       200  401  200    200     200          200
GET    /ogc/collections/sites/items/{feature}  200  401  200  200  200  200
GET    /ogc/collections/readings/items/{feature}  200  401  200  200  200  200
GET    /ogc/collections/scores/items/{feature}  200  401  200  200  200  200
GET    /v1/audit                            401  401  403    403     403          200
GET    /v1/review                           401  401  403    403     403          200
GET    /v1/alerts                           401  401  200    200     403          200
GET    /v1/quality                          401  401  403    403     403          200
GET    /v1/kit-lots                         401  401  200    200     403          200
GET    /v1/keys                             401  401  403    403     403          200
GET    /v1/visits/{visit_id}/revisions      401  401  200    404     403          200
PUT    /v1/visits/{visit_id}#changed        401  401  428    403     403          428
DELETE /v1/visits/{visit_id}#withdrawn      401  401  200    404     403          200
POST   /v1/visits                           401  401  201    403     403          201
POST   /v1/visits#dry_run=true              401  401  200    403     403          200
POST   /v1/kit-lots                         401  401  201    403     403          201
POST   /v1/visits/{visit_id}/decisions      401  401  403    403     403          200
POST   /v1/alerts/{visit_id}/{alert}/acknowledge  401  401  403  403  403          200
POST   /v1/schools                          401  401  403    403     403          201
PATCH  /v1/schools/{code}                   401  401  403    403     403          200
DELETE /v1/schools/{code}/private           401  401  200    403     403          200
POST   /v1/sites                            401  401  403    403     403          201
PATCH  /v1/sites/{code}                     401  401  403    403     403          200
POST   /v1/watersheds                       401  401  403    403     403          201
POST   /v1/kits                             401  401  403    403     403          201
POST   /v1/criteria                         401  401  403    403     403          201
POST   /v1/indices                          401  401  403    403     403          201
POST   /v1/indices#dry_run=true             401  401  403    403     403          200
PATCH  /v1/criteria/{code}                  401  401  403    403     403          200
POST   /v1/keys                             401  401  403    403     403          201
DELETE /v1/keys/{key_id}                    401  401  403    403     403          200
"""
HEADER, *ROWS = [line.split() for line in TABLE.strip().splitlines()]
BAD_KEYS = ("never given", "mangled", "revoked", "expired")
CARD = {
    "code": "card", "name": "Card", "kind": "strip", "parameter": "ph", "unit": "std units",
    "lower": 4, "upper": 9, "step": 1, "reads_zero": False,
}  # fmt: skip
CRITERION = {
    "code": "our-ph", "name": "Our pH", "parameter": "ph", "unit": "std units", "at_least": 6.0,
    "applies_from": "2026-01-01", "source": "a rule",
}  # fmt: skip
BODIES: dict[tuple[str, str], Callable[[str], Any]] = {
    ("POST", "/v1/visits"): lambda who: visit(),
    ("POST", "/v1/visits#dry_run=true"): lambda who: visit(),
    ("PUT", "/v1/visits/{visit_id}#changed"): lambda who: visit(team=f"changed-by-{who}"),
    ("POST", "/v1/kit-lots"): lambda who: {"school": "heron", "code": f"box-{who}", "kit": "ph-meter"},
    ("POST", "/v1/visits/{visit_id}/decisions"): lambda who: {"action": "reject", "reason": "typed in twice"},
    ("POST", "/v1/schools"): lambda who: {"code": "ibis", "name": "Ibis School", "time_zone": "UTC"},
    ("PATCH", "/v1/schools/{code}"): lambda who: {"name": "Heron Lane School"},
    ("DELETE", "/v1/schools/{code}/private"): lambda who: {"confirm": "heron"},
    ("POST", "/v1/sites"): lambda who: {"code": "ash-01", "name": "Ash", "school": "heron"},
    ("PATCH", "/v1/sites/{code}"): lambda who: {"stream_km": 4.6},
    ("POST", "/v1/watersheds"): lambda who: {"scheme": "huc", "code": "0207", "name": "Reed River"},
    ("POST", "/v1/kits"): lambda who: CARD,
    ("POST", "/v1/criteria"): lambda who: CRITERION | {"code": "our-chloride"},
    ("POST", "/v1/indices"): lambda who: index_body(),
    ("POST", "/v1/indices#dry_run=true"): lambda who: index_body(),
    ("PATCH", "/v1/criteria/{code}"): lambda who: {"name": "Acid and lye"},
    ("POST", "/v1/keys"): lambda who: {"role": "reader", "label": "notice board"},
}


def today() -> date:
    return datetime.now(UTC).date()


def revoke(api: Api, key_id: str) -> Any:
    return api.call("DELETE", f"/v1/keys/{key_id}", "coordinator")


@pytest.fixture
def places(api: Api) -> dict[str, str]:
    """What the parts of a path stand for, all of it heron's."""
    released = api.submit(visit(team="period-1"))
    held = api.submit(visit(team="period-2", readings=[reading("ph", 15)]))
    decided = api.submit(visit(team="period-3", readings=[reading("ph", 15)]))
    withdrawn = api.submit(visit(team="period-5"))
    fish = api.submit(visit(team="period-4", conditions={"dead_fish": True}))
    assert [one["state"] for one in (released, held, decided)] == ["released", "held", "held"]
    assert api.post("/v1/criteria", CRITERION).status_code == 201
    submit_reference(api)
    define(api)
    key = api.post("/v1/keys", {"role": "reader", "label": "to be revoked"}).json()
    return {
        "/static-offline-docs": "/static-offline-docs/swagger-ui.css",
        "/v1/catalogue/{part}": "/v1/catalogue/kits",
        "/v1/schools/{code}": "/v1/schools/heron",
        "/v1/schools/{code}/export": "/v1/schools/heron/export",
        "/v1/schools/{code}/private": "/v1/schools/heron/private",
        "/v1/sites/{code}": "/v1/sites/reed-02",
        "/v1/sites.{ending}": "/v1/sites.csv",
        "/v1/exports/sites.{ending}": "/v1/exports/sites.csv",
        "/v1/visits.{ending}": "/v1/visits.csv",
        "/v1/exports/visits.{ending}": "/v1/exports/visits.csv",
        "/v1/readings.{ending}": "/v1/readings.csv",
        "/v1/exports/readings.{ending}": "/v1/exports/readings.csv",
        "/v1/scores.{ending}": "/v1/scores.csv",
        "/v1/exports/scores.{ending}": "/v1/exports/scores.csv",
        "/v1/schema/{name}.json": "/v1/schema/readings.json",
        "/ogc/collections/{code}": "/ogc/collections/sites",
        "/ogc/collections/{code}/schema": "/ogc/collections/sites/schema",
        "/ogc/collections/sites/items/{feature}": "/ogc/collections/sites/items/reed-02",
        "/ogc/collections/readings/items/{feature}": first_feature(api, "readings"),
        "/ogc/collections/scores/items/{feature}": first_feature(api, "scores"),
        "/v1/criteria/{code}": "/v1/criteria/our-ph",
        "/v1/indices/{code}": "/v1/indices/reed-spring",
        "/v1/indices#dry_run=true": "/v1/indices?dry_run=true",
        "/v1/watersheds/{code}/summary": "/v1/watersheds/0207/summary",
        "/v1/watersheds/{code}/ranking": "/v1/watersheds/0207/ranking",
        "/v1/sites/{site}/ccme": "/v1/sites/reed-02/ccme",
        "/v1/sites/{site}/bacteria": "/v1/sites/reed-02/bacteria",
        "/v1/streams/{stream}/profile": "/v1/streams/reed/profile",
        "/v1/sites/{site}/trend": "/v1/sites/reed-02/trend?parameter=ph",
        "/v1/visits/{visit_id}": f"/v1/visits/{released['visit_id']}",
        "/v1/visits/{visit_id}#held": f"/v1/visits/{held['visit_id']}",
        "/v1/visits/{visit_id}#changed": f"/v1/visits/{released['visit_id']}",
        "/v1/visits/{visit_id}#withdrawn": f"/v1/visits/{withdrawn['visit_id']}",
        "/v1/visits/{visit_id}/revisions": f"/v1/visits/{released['visit_id']}/revisions",
        "/v1/visits/{visit_id}/decisions": f"/v1/visits/{decided['visit_id']}/decisions",
        "/v1/alerts/{visit_id}/{alert}/acknowledge": f"/v1/alerts/{fish['visit_id']}/fish-kill/acknowledge",
        "/v1/visits#dry_run=true": "/v1/visits?dry_run=true",
        "/v1/keys/{key_id}": f"/v1/keys/{key['id']}",
    }


def first_feature(api: Api, collection: str) -> str:
    address = f"/ogc/collections/{collection}/items"
    return f"{address}/{api.get(address, 'coordinator').json()['features'][0]['id']}"


@pytest.fixture
def callers(api: Api) -> dict[str, str | None]:
    """The key of each kind of caller."""
    given = api.post("/v1/keys", {"role": "coordinator", "label": "was revoked"}).json()
    assert revoke(api, given["id"]).status_code == 200
    right = api.keys["coordinator"]
    return {
        "nobody": None,
        "never given": new_token(),
        "mangled": right[:-1] + ("0" if right[-1] != "0" else "1"),
        "revoked": given["key"],
        "expired": api.key(Role.COORDINATOR, expires_on=today() - timedelta(days=1)),
        "own": api.keys["heron"],
        "other": api.keys["otter"],
        "reader": api.keys["reader"],
        "coordinator": right,
    }


def test_every_address_of_the_service_has_a_row_and_every_row_an_address(api: Api) -> None:
    there = {
        (method, route.path)
        for route in iter_route_contexts(api.client.app.routes)
        for method in (route.methods or {"GET"}) - {"HEAD"}
    }
    assert {(method, path.partition("#")[0]) for method, path, *_ in ROWS} == there


def test_each_caller_is_answered_as_the_table_says(
    api: Api, places: dict[str, str], callers: dict[str, str | None]
) -> None:
    for method, path, *statuses in ROWS:
        expected = dict(zip(HEADER[2:], map(int, statuses), strict=True))
        expected |= dict.fromkeys(BAD_KEYS, expected.pop("bad"))
        answered = {}
        for who, key in callers.items():
            body = BODIES[method, path](who) if (method, path) in BODIES else None
            more = {} if body is None else {"json": body}
            answer = api.call(method, places.get(path, path), key, **more)
            answered[who] = int(answer.status_code)
            if answer.is_error:
                assert answer.headers["content-type"] == "application/problem+json"
            assert ("www-authenticate" in answer.headers) == (answer.status_code == 401)
        assert answered == expected, f"{method} {path}"


@pytest.fixture
def closed(api: Api) -> Iterator[Api]:
    """The network that answers only to keys."""
    app = api.client.app
    usual = app.state.settings
    app.state.settings = usual.model_copy(update={"public_read": False})
    yield api
    app.state.settings = usual


def test_where_the_public_may_not_read_only_the_open_addresses_answer_nobody(
    closed: Api, places: dict[str, str]
) -> None:
    open_to_all = {path for _, path, *statuses in ROWS if set(statuses) == {"200"}}
    asked = [path for method, path, *_ in ROWS if method == "GET"]
    answered = {path: int(closed.get(places.get(path, path)).status_code) for path in asked}
    assert answered == {path: 200 if path in open_to_all else 401 for path in asked}
    assert {int(closed.get("/v1/visits", key).status_code) for key in ("heron", "reader", "coordinator")} == {
        200
    }


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


def test_a_school_cannot_take_over_the_id_of_anothers_visit(api: Api) -> None:
    visit_id = str(uuid.uuid4())
    api.submit(visit(visit_id=visit_id, notes="gate code kestrel"))
    stored = api.get(f"/v1/visits/{visit_id}", "heron").json()
    answer = api.post("/v1/visits", visit("fern-01", visit_id=visit_id), "otter")
    assert answer.status_code == 409
    assert "kestrel" not in answer.text
    assert api.get(f"/v1/visits/{visit_id}", "heron").json() == stored


# The life of a key.


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
