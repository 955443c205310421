"""When a key was last used: to the hour, written at most once an hour, and never in a request's way."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
import sqlalchemy as sa
from sqlalchemy import Engine, event
from sqlmodel import Session
from starlette.types import Message

from service.schools.tables import AccessKey, Role
from tests.api import Api
from tests.core.door.asgi import ask


def this_hour() -> datetime:
    return datetime.now(UTC).replace(minute=0, second=0, microsecond=0)


def listed(api: Api, label: str) -> datetime | None:
    (row,) = [row for row in api.every("/v1/keys", "coordinator") if row["label"] == label]
    return row["last_used_at"] and datetime.fromisoformat(row["last_used_at"])


@pytest.fixture
def board(api: Api) -> str:
    """A fresh key, that of the notice board."""
    return str(api.post("/v1/keys", {"role": Role.READER, "label": "board"}).json()["key"])


@pytest.fixture
def written(api: Api) -> Iterator[list[Any]]:
    """The statements with which the service notes the use of keys."""
    engine: Engine = api.client.app.state.note_engine
    statements: list[Any] = []

    def keep(_connection: Any, _cursor: Any, statement: str, *_: Any) -> None:
        if statement.startswith("UPDATE"):
            statements.append(statement)

    event.listen(engine, "before_cursor_execute", keep)
    yield statements
    event.remove(engine, "before_cursor_execute", keep)


def test_the_hour_of_its_last_use_is_listed(api: Api, board: str) -> None:
    assert listed(api, "board") is None
    api.get("/v1/sites", board)
    assert listed(api, "board") in (this_hour(), this_hour() - timedelta(hours=1))


def test_it_is_written_once_an_hour(api: Api, board: str, written: list[Any]) -> None:
    listed(api, "board")  # the coordinator's own key is noted by now
    written.clear()
    for _ in range(3):
        api.get("/v1/sites", board)
    assert len(written) == 1
    with Session(api.engine) as session:
        earlier = sa.update(AccessKey).where(sa.column("label") == "board")
        session.execute(earlier.values(last_used_at=this_hour() - timedelta(hours=1)))
        session.commit()
    for _ in range(3):
        api.get("/v1/sites", board)
    assert len(written) == 2
    assert listed(api, "board") == this_hour()


def test_a_refused_key_is_not_in_use(api: Api, board: str) -> None:
    key_id = next(row["id"] for row in api.every("/v1/keys", "coordinator") if row["label"] == "board")
    api.call("DELETE", f"/v1/keys/{key_id}", "coordinator")
    assert api.get("/v1/sites", board).status_code == 401
    assert listed(api, "board") is None


def test_a_writer_elsewhere_keeps_it_from_being_noted_and_nobody_from_his_answer(
    api: Api, board: str, caplog: pytest.LogCaptureFixture
) -> None:
    with api.engine.begin() as other:
        other.execute(sa.update(AccessKey).values(expires_on=None))  # holds SQLite's file, PostgreSQL's rows
        assert api.get("/v1/sites", board).status_code == 200
    assert "could not be noted" in caplog.text
    assert listed(api, "board") is None
    api.get("/v1/sites", board)
    assert listed(api, "board") is not None


def test_it_is_noted_after_the_answer_has_gone(api: Api, board: str) -> None:
    with api.engine.connect() as other:
        other.execute(sa.update(AccessKey).values(expires_on=None))

        def let_go(message: Message) -> None:
            # Had it been noted before, it would have waited in vain for this writer.
            if message["type"] == "http.response.body" and not message.get("more_body"):
                other.rollback()

        answer = ask(api.client.app, "GET", "/v1/sites", {"Authorization": f"Bearer {board}"}, on_sent=let_go)
    assert answer.status == 200
    assert listed(api, "board") is not None
