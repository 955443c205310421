"""A school takes along all that is its own, and nobody else does."""

import json
import uuid
from typing import Any

from sqlmodel import Session

from service.schools.caller import Caller
from service.schools.queries import school_by_code
from service.schools.tables import Role
from service.visits.private.school_export import BATCH, export_school
from tests.api import Api, Json, catch, reading, visit


def exported(api: Api, key: str = "heron", school: str = "heron") -> Json:
    answer = api.get(f"/v1/schools/{school}/export", key)
    assert answer.status_code == 200, answer.text
    return json.loads(answer.text, object_pairs_hook=once_each)


def once_each(pairs: list[tuple[str, Any]]) -> Json:
    assert len({name for name, _ in pairs}) == len(pairs)
    return dict(pairs)


def test_all_that_is_a_schools_own_is_in_its_document(api: Api) -> None:
    lot = {"school": "heron", "code": "box-1", "kit": "ph-meter", "expires_on": "2027-01-31"}
    assert api.post("/v1/kit-lots", lot, "heron").status_code == 201
    released = api.submit(visit(notes="muddy bank", team="period-1", catch=catch(("mayfly", 14))))
    held = api.submit(visit(team="period-2", readings=[reading("ph", 15)], conditions={"dead_fish": True}))
    rejected = api.submit(visit(team="period-3", readings=[reading("ph", 16)]))
    decision = {"action": "reject", "reason": "typed in twice"}
    assert api.post(f"/v1/visits/{rejected['visit_id']}/decisions", decision).status_code == 200
    withdrawn = api.submit(visit(team="period-4"))
    assert api.call("DELETE", f"/v1/visits/{withdrawn['visit_id']}", "heron").status_code == 200
    corrected = visit(notes="muddy bank", team="period-1", catch=catch(("mayfly", 15)))
    address = f"/v1/visits/{released['visit_id']}"
    assert api.call("PUT", address, "heron", json=corrected, headers={"If-Match": "*"}).status_code == 200
    api.submit(visit("reed-01", notes="of others"), "otter")

    whole = exported(api)
    assert whole["school"] == api.get("/v1/schools/heron", "heron").json()
    assert whole["sites"] == [api.get("/v1/sites/reed-02", "heron").json()]
    assert whole["kit_lots"] == api.every("/v1/kit-lots", "heron")
    assert whole["keys"] == [key for key in api.every("/v1/keys", "coordinator") if key["school"] == "heron"]
    mine = [one["visit_id"] for one in (released, held, rejected, withdrawn)]
    assert [one["current"]["visit_id"] for one in whole["visits"]] == sorted(mine)
    for one in whole["visits"]:
        address = f"/v1/visits/{one['current']['visit_id']}"
        assert one["current"] == api.get(address, "heron").json()
        assert one["revisions"] == api.get(f"{address}/revisions", "heron").json()["items"]
    assert max(len(one["revisions"]) for one in whole["visits"]) == 2
    assert {one["current"]["state"] for one in whole["visits"]} == {
        "released", "held", "rejected", "withdrawn",
    }  # fmt: skip
    assert whole["visits_count"] == 4
    assert exported(api, "coordinator") == whole


def test_the_document_holds_no_key_and_is_kept_by_nobody_on_the_way(api: Api) -> None:
    answer = api.get("/v1/schools/heron/export", "heron")
    assert api.keys["heron"] not in answer.text
    assert "fingerprint" not in answer.text
    assert answer.headers["cache-control"] == "no-store"
    assert answer.headers["content-disposition"] == 'attachment; filename="heron.json"'
    assert answer.headers["content-type"] == "application/json"


def test_a_school_without_visits_has_a_document_too(api: Api) -> None:
    whole = exported(api)
    assert (whole["visits"], whole["visits_count"]) == ([], 0)


def test_another_schools_document_is_refused_and_one_that_is_not_there_is_not_found(api: Api) -> None:
    assert api.get("/v1/schools/heron/export", "otter").status_code == 403
    assert api.get("/v1/schools/ibis/export", "otter").status_code == 404
    assert api.get("/v1/schools/ibis/export", "coordinator").status_code == 404


def test_a_large_document_comes_in_small_pieces_each_visit_once(api: Api) -> None:
    ids = [
        api.submit(visit(visit_id=str(uuid.UUID(int=number, version=4)), team=f"t-{number}"))["visit_id"]
        for number in range(1, 2 * BATCH + 2)
    ]
    caller = Caller(Role.SCHOOL, "heron", uuid.UUID(int=1))
    with Session(api.engine) as session:
        school = school_by_code(session, "heron")
    pieces = []
    for piece in export_school(api.engine, caller, school, "nobody"):
        assert api.engine.pool.checkedout() == 0  # a slow reader keeps no connection from others
        pieces.append(piece)
        if len(pieces) == 2:
            api.submit(visit(visit_id=str(uuid.UUID(int=2**100, version=4)), team="late"))
            answer = api.call(
                "PUT", f"/v1/visits/{ids[0]}", "heron", json=visit(team="new"), headers={"If-Match": "*"}
            )
            assert answer.status_code == 200
    assert max(piece.count('"current"') for piece in pieces) == BATCH
    whole = json.loads("".join(pieces))
    assert len({one["current"]["visit_id"] for one in whole["visits"]}) == whole["visits_count"]
    assert whole["visits_count"] == len(whole["visits"]) == len(ids) + 1
