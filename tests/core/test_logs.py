"""One JSON line for each thing that is logged, and nothing in it of what a caller sent."""

import asyncio
import io
import json
import logging
import warnings
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from typing import Any
from uuid import UUID

import pytest
from sqlalchemy.exc import IntegrityError
from sqlmodel import insert, select

from service.core.database import RequestSession
from service.core.logs import JsonLines, log_as_json
from service.core.request_id import request_id
from service.core.tokens import new_token
from service.schools.tables import AccessKey, School
from tests.api import Api, visit

SECRET = "Ada-lives-at-the-mill"


@pytest.fixture
def log() -> Iterator[Callable[[], list[dict[str, Any]]]]:
    """All that is logged, at any weight, as it would be written; gives the lines read so far."""
    written = io.StringIO()
    handler = logging.StreamHandler(written)
    handler.setFormatter(JsonLines())
    root, usual = logging.getLogger(), logging.getLogger().level
    root.addHandler(handler)
    root.setLevel(logging.DEBUG)
    yield lambda: [json.loads(line) for line in written.getvalue().splitlines()]
    root.removeHandler(handler)
    root.setLevel(usual)


Log = Callable[[], list[dict[str, Any]]]


def answered(log: Log) -> dict[str, Any]:
    (line,) = [line for line in log() if line["logger"] == "wadebook.access"]
    return line


def test_a_request_is_one_line_that_says_what_was_asked_and_answered(api: Api, log: Log) -> None:
    answer = api.call("GET", "/v1/sites/reed-02", "heron", headers={"X-Request-Id": "creek-side-0001"})
    line = answered(log)
    assert line.pop("milliseconds") > 0
    assert UUID(line.pop("key_id"))
    assert line.pop("at").endswith("+00:00")
    assert line.pop("process") > 0
    assert line == {
        "level": "info", "logger": "wadebook.access", "message": "answered",
        "request_id": answer.headers["x-request-id"], "method": "GET", "route": "/v1/sites/{code}",
        "status": 200,
    }  # fmt: skip
    assert line["request_id"] == "creek-side-0001"


def test_the_key_that_is_named_is_the_one_that_asked(api: Api, log: Log) -> None:
    made = api.post("/v1/keys", {"role": "reader", "label": "board"}).json()
    api.get("/v1/visits", made["key"])
    assert [line["key_id"] for line in log() if line["message"] == "answered"][-1] == made["id"]


BREAKING = {"readings": [{"parameter": SECRET, "value": "NaN"}], "notes": SECRET}
HIDDEN_IN = [
    ("POST", "/v1/visits", {"json": visit(notes=SECRET, team=SECRET.lower())}),
    ("POST", "/v1/visits?dry_run=true", {"json": visit(notes=SECRET)}),
    ("POST", "/v1/visits", {"json": visit(**BREAKING)}),
    ("POST", "/v1/visits", {"json": visit(site=SECRET)}),
    ("POST", "/v1/visits", {"content": f'{{"notes": "{SECRET}'}),
    ("POST", "/v1/visits", {"content": SECRET.encode() + b"\xff\x00" * 50}),
    ("POST", "/v1/visits", {"content": json.dumps({"notes": f"{SECRET}\ud800\n\x85 {{}}"})}),
    ("PUT", "/v1/visits/019c2f4e-6f0e-7c3a-9b1e-2f6f0c1a7d11", {"json": visit(notes=SECRET)}),
    ("GET", f"/v1/visits?team={SECRET}", {}),
    ("GET", f"/v1/{SECRET}", {}),
    ("GET", f"/v1/sites/{SECRET}", {}),
    (SECRET, "/v1/sites", {}),
    ("GET", "/v1/sites", {"headers": {"Authorization": f"Basic {SECRET}"}}),
    ("GET", "/v1/sites", {"headers": {"Cookie": SECRET, "User-Agent": SECRET, "Referer": SECRET}}),
    ("POST", "/v1/kit-lots", {"headers": {"Idempotency-Key": SECRET}, "content": SECRET}),
]  # fmt: skip


@pytest.mark.parametrize(("method", "address", "more"), HIDDEN_IN)
def test_nothing_that_is_sent_is_repeated(
    api: Api, log: Log, method: str, address: str, more: dict[str, Any]
) -> None:
    assert api.call(method, address, "heron", **more).status_code < 500
    assert answered(log)
    assert SECRET.lower() not in str(log()).lower()


@pytest.mark.parametrize("sent_as", ["Authorization", "X-Request-Id", "Cookie"])
def test_no_key_is_repeated(api: Api, log: Log, sent_as: str) -> None:
    for key in (api.keys["heron"], new_token(), f"{new_token()}x"):
        value = f"Bearer {key}" if sent_as == "Authorization" else key
        if sent_as != "X-Request-Id" or len(key) == len(api.keys["heron"]):
            answer = api.call("GET", "/v1/schools", headers={sent_as: value})
            assert key not in str(answer.headers)
            assert key not in str(log())


@pytest.fixture
def breaking(api: Api) -> Iterator[Api]:
    """The service with addresses at which it fails, each with the secret in its hands."""
    app = api.client.app

    def twice(session: RequestSession) -> None:
        row = {"code": "heron", "name": SECRET, "time_zone": "UTC", "created_at": datetime.now(UTC)}
        session.execute(insert(School).values(row))

    def same_key(session: RequestSession) -> None:
        key = session.exec(select(AccessKey)).first()
        for _ in range(2):
            copy = key.model_dump(exclude={"id", "fingerprint"})
            session.add(AccessKey(**copy, fingerprint=SECRET))
        session.flush()

    def by_mistake() -> None:
        try:
            raise KeyError(SECRET)
        except KeyError as error:
            raise ValueError(f"{SECRET} again") from error

    for handler in (twice, same_key, by_mistake):
        app.add_api_route(f"/breaks/{handler.__name__}", handler, methods=["POST"])
    yield api
    del app.router.routes[-3:]


@pytest.mark.parametrize("name", ["twice", "same_key", "by_mistake"])
def test_of_a_failure_only_its_kind_and_place_are_told(breaking: Api, log: Log, name: str) -> None:
    # PostgreSQL repeats the row in its DETAIL, SQLAlchemy the parameters.
    answer = breaking.call("POST", f"/breaks/{name}", headers={"X-Request-Id": "creek-side-0002"})
    assert answer.status_code == 500
    assert SECRET not in answer.text
    (failure,) = [line for line in log() if line["message"] == "unexpected error"]
    assert failure["request_id"] == "creek-side-0002"
    assert f" {name}" in "".join(failure["error"])
    kinds = [one.partition(" at ")[0] for one in failure["error"]]
    wanted = {"by_mistake": ["builtins.ValueError", "builtins.KeyError"]}
    assert kinds == wanted.get(name, ["sqlalchemy.exc.IntegrityError", kinds[-1]])
    assert SECRET not in str(log())


def test_the_message_of_a_database_error_does_not_repeat_what_was_to_be_stored(api: Api) -> None:
    row = {"code": "heron", "name": SECRET, "time_zone": "UTC", "created_at": datetime.now(UTC)}
    with pytest.raises(IntegrityError) as caught, api.engine.begin() as connection:
        connection.execute(insert(School), row)
    assert SECRET not in str(caught.value)


def test_what_a_library_says_is_told_by_its_place_alone(log: Log) -> None:
    async def fail() -> None:
        task = asyncio.get_running_loop().create_task(asyncio.sleep(0))
        asyncio.get_running_loop().call_exception_handler({"message": SECRET, "task": task})

    asyncio.run(fail())
    logging.getLogger("psycopg.pool").warning("error ignored: %s", SECRET)
    logging.getLogger("sqlalchemy.pool").error(ValueError(SECRET))
    said = [line["message"] for line in log()]
    assert len(said) >= 3
    assert SECRET not in str(log())
    assert all(message.startswith("said at ") for message in said)


def test_errors_that_name_each_other_end(log: Log) -> None:
    one, other = ValueError("one"), KeyError("other")
    one.__cause__, other.__context__ = other, one
    logging.getLogger("wadebook").error("odd", exc_info=one)
    assert len(log()[0]["error"]) == 2


def test_outside_a_request_there_is_no_id(log: Log) -> None:
    assert request_id() == ""
    logging.getLogger("uvicorn.error").warning("Invalid HTTP request received.\n")
    assert (log()[0]["request_id"], log()[0]["message"]) == (None, "Invalid HTTP request received.")


@pytest.fixture
def errors(capsys: pytest.CaptureFixture[str]) -> Iterator[Callable[[], str]]:
    """What stands on standard error where the service has set up its log."""
    root = logging.getLogger()
    usual = (root.handlers[:], root.level, logging.raiseExceptions)
    uvicorn = {name: logging.getLogger(name) for name in ("uvicorn", "uvicorn.error", "uvicorn.access")}
    kept = {name: (one.handlers[:], one.propagate, one.level) for name, one in uvicorn.items()}
    yield lambda: capsys.readouterr().err
    root.handlers[:], logging.raiseExceptions = usual[0], usual[2]
    root.setLevel(usual[1])
    logging.captureWarnings(False)
    for name, one in uvicorn.items():
        one.handlers[:], one.propagate = kept[name][0], kept[name][1]
        one.setLevel(kept[name][2])


def test_every_way_to_standard_error_writes_lines_of_json(errors: Callable[[], str]) -> None:
    log_as_json("info")
    logging.getLogger("uvicorn.access").info('"GET /v1/visits?team=%s"', SECRET)
    logging.getLogger("uvicorn.error").info("Started server process [%d]", 7)
    logging.getLogger("wadebook.http").debug("not at this level")
    logging.getLogger("wadebook.http").info("two\nlines\u2028and %s more", "é")
    logging.getLogger("wadebook.http").info("bad %d", SECRET)
    warnings.warn(SECRET, stacklevel=1)
    said = errors()
    assert [json.loads(line)["message"] for line in said.splitlines()[:2]] == [
        "Started server process [7]",
        "two\nlines\u2028and é more",
    ]
    assert SECRET not in said
    assert len([json.loads(line) for line in said.splitlines()]) == 3
