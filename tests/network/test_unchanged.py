"""Lists that have not changed are not read again: 304 to whoever holds them, and a new tag after a change."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import pytest
import sqlalchemy as sa
from sqlmodel import Session

from service.review.rescore import rescore_all
from tests.api import Api, catch, reading, visit

LISTS = (
    "/v1/visits", "/v1/readings", "/v1/scores", "/v1/sites", "/v1/kits", "/v1/watersheds", "/v1/changes",
    "/v1/watersheds/0207/summary", "/v1/watersheds/0207/ranking", "/v1/sites/reed-02/ccme",
    "/v1/streams/reed/profile", "/v1/sites/reed-02/trend?parameter=ph",
)  # fmt: skip


def held_as(api: Api, address: str, tag: str, key: str | None = None) -> int:
    return int(api.call("GET", address, key, headers={"If-None-Match": tag}).status_code)


@contextmanager
def statements(api: Api) -> Iterator[list[str]]:
    """Note what the database is asked."""
    asked: list[str] = []

    def note(_c: Any, _cursor: Any, statement: str, *_: Any) -> None:
        asked.append(statement)

    engine = api.client.app.state.engine
    sa.event.listen(engine, "before_cursor_execute", note)
    try:
        yield asked
    finally:
        sa.event.remove(engine, "before_cursor_execute", note)


@pytest.mark.parametrize("address", LISTS)
def test_what_has_not_changed_is_not_sent_again(api: Api, address: str) -> None:
    api.submit(visit(catch=catch(("Heptageniidae", 60), ("Chironomidae", 50))))
    first, second = api.get(address), api.get(address)
    tag = first.headers["etag"]
    assert tag == second.headers["etag"]
    answer = api.call("GET", address, headers={"If-None-Match": f'W/"other", {tag}'})
    assert (answer.status_code, answer.content, answer.headers["etag"]) == (304, b"", tag)
    assert held_as(api, address, '"other"') == 200
    assert held_as(api, address, "*") == 200  # says nothing of what the reader holds


def test_the_database_is_asked_only_for_the_newest_change(api: Api) -> None:
    api.submit(visit())
    tag = api.get("/v1/readings").headers["etag"]
    with statements(api) as asked:
        assert held_as(api, "/v1/readings", tag) == 304
    assert [one for one in asked if one.startswith("SELECT")] != []
    assert [one for one in asked if "reading" in one or "visit" in one] == []


def decide(api: Api, visit_id: str) -> None:
    body = {"action": "release", "reason": "seen on the sheet"}
    assert api.post(f"/v1/visits/{visit_id}/decisions", body).status_code == 200


def revise(api: Api, visit_id: str) -> None:
    tag = api.get(f"/v1/visits/{visit_id}", "heron").headers["etag"]
    headers = {"If-Match": tag}
    answer = api.call("PUT", f"/v1/visits/{visit_id}", "heron", json=visit(team="again"), headers=headers)
    assert answer.status_code == 200, answer.text


def withdraw(api: Api, visit_id: str) -> None:
    assert api.call("DELETE", f"/v1/visits/{visit_id}", "heron").status_code == 200


def move(api: Api, _: str) -> None:
    answer = api.call("PATCH", "/v1/sites/reed-02", "coordinator", json={"stream_km": 4.6})
    assert answer.status_code == 200


def submit(api: Api, _: str) -> None:
    api.submit(visit("reed-01"), "otter")


CHANGES: dict[str, Callable[[Api, str], None]] = {
    "submitted": submit,
    "decided": decide,
    "revised": revise,
    "withdrawn": withdraw,
    "site patched": move,
}


@pytest.mark.parametrize("name", CHANGES)
def test_after_every_change_the_new_answer_comes(api: Api, name: str) -> None:
    done = api.submit(visit(readings=[reading("ph", 15)]))
    lists = ("/v1/visits", "/v1/readings", "/v1/sites", "/v1/watersheds")
    before = {address: api.get(address, "coordinator") for address in lists}
    CHANGES[name](api, done["visit_id"])
    for address, answer in before.items():
        tag = answer.headers["etag"]
        assert held_as(api, address, tag, "coordinator") == 200, address


def test_after_scoring_anew_the_new_answer_comes(api: Api) -> None:
    api.submit(visit(catch=catch(("Heptageniidae", 60), ("Chironomidae", 50))))
    with Session(api.engine) as session:
        # As an older release would have scored it: only the version of the reference data is another.
        session.execute(sa.text("UPDATE visit_revision SET scored_with = 'older'"))
        session.execute(sa.text("UPDATE score SET reference_version = 'older'"))
        session.commit()
    before = api.get("/v1/scores")
    with Session(api.engine, expire_on_commit=False) as session:
        assert [numbers for _, *numbers in rescore_all(session, None)] == [[1, 1, 0]]
        session.commit()
    assert held_as(api, "/v1/scores", before.headers["etag"]) == 200
    assert api.get("/v1/scores").json() != before.json()


def test_a_tag_is_good_for_one_asker_question_and_format(api: Api) -> None:
    api.submit(visit())
    asked = [
        ("/v1/readings", None, {}),
        ("/v1/readings", "heron", {}),
        ("/v1/readings", "otter", {}),
        ("/v1/readings", "coordinator", {}),
        ("/v1/readings?site=reed-02", None, {}),
        ("/v1/readings?limit=7", None, {}),
        ("/v1/readings", None, {"Accept": "text/csv"}),
        ("/v1/visits", None, {}),
    ]
    tags = [api.call("GET", address, key, headers=more).headers["etag"] for address, key, more in asked]
    assert len(set(tags)) == len(asked)


def test_a_key_that_is_not_good_is_refused_whatever_it_holds(api: Api) -> None:
    tag = api.get("/v1/visits", "reader").headers["etag"]
    made = api.post("/v1/keys", {"role": "reader", "label": "lost"}).json()
    assert api.call("DELETE", f"/v1/keys/{made['id']}", "coordinator").status_code == 200
    assert held_as(api, "/v1/visits", tag, made["key"]) == 401


def test_a_network_put_back_from_a_backup_gives_its_numbers_new_tags(api: Api) -> None:
    api.submit(visit())
    tag = api.get("/v1/visits").headers["etag"]
    with Session(api.engine) as session:
        # The same number of the newest change, made at another time.
        session.execute(sa.text("UPDATE change SET at = '2020-01-01 00:00:00'"))
        session.commit()
    assert held_as(api, "/v1/visits", tag) == 200
