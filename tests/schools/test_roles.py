"""Who may do what: every address against every kind of caller, as roles.csv tells it.

A new address needs a row there: method, path as the app has it, case (empty, or which one of several), and
the status for each caller. ``own`` is the school that owns what is asked for, ``other`` another school. What
a row needs besides, an address and what is sent, stands in role_requests.py.
"""

import csv
import uuid
from collections.abc import Iterator, Mapping
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from fastapi.routing import iter_route_contexts

from service.core.tokens import new_token
from service.schools.tables import Role
from tests.api import Api, Json, reading, visit
from tests.schools.role_requests import NOWHERE, SENT, addresses, entry

on_sqlite = pytest.mark.parametrize("backend", ["sqlite"], indirect=True, scope="session")
with (Path(__file__).parent / "roles.csv").open(encoding="utf-8", newline="") as file:
    ROWS = list(csv.DictReader(file))
# The keys of each column; those who may do most come last, as what they do is done.
COLUMN_OF = {
    "nobody": "nobody",
    "never given": "wrong",
    "mangled": "wrong",
    "revoked": "revoked",
    "expired": "expired",
    "reader": "reader",
    "other": "other",
    "own": "own",
    "coordinator": "coordinator",
}
CALLERS = tuple(dict.fromkeys(COLUMN_OF.values()))


def tell(row: Mapping[str, str]) -> tuple[str, str, str]:
    return row["method"], row["path"], row["case"]


@pytest.fixture
def places(api: Api) -> dict[tuple[str, ...], str]:
    """The addresses of what the rows ask for, all of it heron's."""
    return addresses(api)


@pytest.fixture
def callers(api: Api) -> dict[str, str | None]:
    """The key of each kind of caller."""
    given = api.post("/v1/keys", {"role": "coordinator", "label": "was revoked"}).json()
    assert api.call("DELETE", f"/v1/keys/{given['id']}", "coordinator").status_code == 200
    right = api.keys["coordinator"]
    return {
        "nobody": None,
        "never given": new_token(),
        "mangled": right[:-1] + ("0" if right[-1] != "0" else "1"),
        "revoked": given["key"],
        "expired": api.key(Role.COORDINATOR, expires_on=datetime.now(UTC).date() - timedelta(days=1)),
        "own": api.keys["heron"],
        "other": api.keys["otter"],
        "reader": api.keys["reader"],
        "coordinator": right,
    }


@on_sqlite
def test_every_address_of_the_service_has_a_row_and_every_row_an_address(api: Api) -> None:
    there = {
        (method, route.path)
        for route in iter_route_contexts(api.client.app.routes)
        for method in (route.methods or {"GET"}) - {"HEAD"}
    }
    assert {tell(row)[:2] for row in ROWS} == there
    assert len({tell(row) for row in ROWS}) == len(ROWS)


@on_sqlite
def test_each_caller_is_answered_as_the_table_says(
    api: Api, places: dict[tuple[str, ...], str], callers: dict[str, str | None]
) -> None:
    for row in ROWS:
        sent = entry(SENT, *tell(row)) or (lambda who: {})
        address = entry(places, *tell(row)) or row["path"]
        for who, column in COLUMN_OF.items():
            answer = api.call(row["method"], address, callers[who], **sent(who))
            assert (who, answer.status_code) == (who, int(row[column])), (*tell(row), answer.text[:500])
            if answer.is_error:
                is_page = row["path"] == "/form"
                wanted = "text/html; charset=utf-8" if is_page else "application/problem+json"
                assert answer.headers["content-type"] == wanted
            assert ("www-authenticate" in answer.headers) == (answer.status_code == 401)


@pytest.fixture
def closed(api: Api) -> Iterator[Api]:
    """The network that answers only to keys."""
    app = api.client.app
    usual = app.state.settings
    app.state.settings = usual.model_copy(update={"public_read": False})
    yield api
    app.state.settings = usual


@on_sqlite
def test_where_the_public_may_not_read_only_the_open_addresses_answer_nobody(
    closed: Api, places: dict[tuple[str, ...], str]
) -> None:
    asked = [row for row in ROWS if row["method"] == "GET"]
    answered = {tell(row): closed.get(entry(places, *tell(row)) or row["path"]).status_code for row in asked}
    open_to_all = {tell(row) for row in asked if {row[caller] for caller in CALLERS} == {"200"}}
    assert answered == {tell(row): 200 if tell(row) in open_to_all else 401 for row in asked}
    for key in ("heron", "reader", "coordinator"):
        assert closed.get("/v1/visits", key).status_code == 200


@on_sqlite
def test_anothers_private_visit_is_answered_like_one_that_is_not_there(
    api: Api, places: dict[tuple[str, ...], str]
) -> None:
    hidden = [places["/v1/visits/{visit_id}", state] for state in ("held", "rejected", "withdrawn")]
    for who, site in (("otter", "fern-01"), ("reader", "reed-02"), (None, "reed-02")):
        for method, end, more in deeds(visit(site)):
            missing = seen(api.call(method, f"/v1/visits/{NOWHERE}{end}", who, **more))
            for address in hidden:
                assert seen(api.call(method, address + end, who, **more)) == missing, (who, method, end, more)
            assert missing[0] == {"otter": 404, "reader": 403, None: 401}[who] or (
                method == "GET" and not end
            )


def deeds(body: Json) -> list[tuple[str, str, Json]]:
    """Return what may be tried to find out whether a visit is there."""
    tags = [{}] + [{"headers": {name: tag}} for name in ("If-Match", "If-None-Match") for tag in ("*", '"x"')]
    return [
        *(("GET", end, tag) for end in ("", "/revisions", "/decisions") for tag in tags),
        *(("PUT", "", {"json": body} | tag) for tag in tags),
        *(("DELETE", "", tag) for tag in tags),
    ]


def seen(answer: Any) -> tuple[Any, ...]:
    """Return what an answer tells, but for the names of request and minute."""
    passing = ("x-request-id", "date", "content-length")
    headers = {name: value for name, value in answer.headers.items() if name not in passing}
    return answer.status_code, headers, {**answer.json(), "request_id": ""}


@on_sqlite
def test_anothers_box_of_a_kit_is_answered_like_one_that_is_not_there(api: Api) -> None:
    assert api.post("/v1/kit-lots", {"school": "otter", "code": "box-a", "kit": "ph-meter"}).is_success
    told = []
    for lot in ("box-a", "box-b"):
        answer = api.post(
            "/v1/visits", visit(readings=[reading("ph", 7, kit="ph-meter", kit_lot=lot)]), "heron"
        )
        assert answer.status_code == 422
        told.append(answer.json()["errors"][0]["message"].replace(lot, ""))
    assert told[0] == told[1]


def test_a_school_cannot_take_over_the_id_of_anothers_visit(api: Api) -> None:
    visit_id = str(uuid.uuid4())
    api.submit(visit(visit_id=visit_id, notes="gate code kestrel"))
    stored = api.get(f"/v1/visits/{visit_id}", "heron").json()
    answer = api.post("/v1/visits", visit("fern-01", visit_id=visit_id), "otter")
    assert answer.status_code == 409
    assert "kestrel" not in answer.text
    assert api.get(f"/v1/visits/{visit_id}", "heron").json() == stored
