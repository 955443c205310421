"""A database that cannot work just now: told as such, and nothing that was stored is lost or hidden."""

import sqlite3
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
import sqlalchemy as sa
from fastapi import FastAPI
from fastapi.testclient import TestClient
from psycopg import errors
from sqlalchemy import Engine, event

from service.app import create_app
from service.core import http_errors
from service.core.database import RequestSession, make_engine
from service.core.database_trouble import is_disk_full, is_passing
from service.core.settings import Settings
from tests.api import Api, reading, visit

ON_SQLITE, ON_POSTGRESQL = (
    pytest.mark.parametrize("backend", [name], indirect=True, scope="session")
    for name in ("sqlite", "postgresql")
)


def assert_told(answer: Any, status: int) -> None:
    """A problem that says when to come again."""
    assert answer.status_code == status, answer.text
    assert answer.headers["content-type"] == "application/problem+json"
    assert int(answer.headers["Retry-After"]) > 0
    assert "nothing was stored" in answer.json()["detail"]


def long_visit(number: int) -> dict[str, Any]:
    return visit(team=f"team-{number}", notes="n" * 2000)


@pytest.fixture
def full_disk(api: Api) -> Iterator[Callable[[bool], None]]:
    """Says whether the disk of the database is full, for all connections of the service."""
    engine: Engine = api.client.app.state.engine
    if engine.dialect.name == "postgresql":
        yield from _full_on_postgresql(api.engine)
    else:
        yield from _full_on_sqlite(engine)


def _full_on_sqlite(engine: Engine) -> Iterator[Callable[[bool], None]]:
    most = 0

    def limit(connection: sqlite3.Connection, *_: Any) -> None:
        connection.execute(f"PRAGMA max_page_count={most or 2**30}")  # less than there are means: no more

    def fill(full: bool) -> None:
        nonlocal most
        most = 1 if full else 0

    # Pages that earlier tests have left free are room that a full disk would not have.
    with engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
        connection.connection.dbapi_connection.execute("VACUUM")
    event.listen(engine, "checkout", limit)
    yield fill
    event.remove(engine, "checkout", limit)
    fill(False)
    with engine.connect() as connection:
        limit(connection.connection.dbapi_connection)


def _full_on_postgresql(engine: Engine) -> Iterator[Callable[[bool], None]]:
    # PostgreSQL manual, appendix A: 53100 disk_full. The server itself raises it here.
    function = "CREATE FUNCTION no_room() RETURNS trigger LANGUAGE plpgsql AS "
    function += "$$ BEGIN RAISE EXCEPTION 'could not extend file' USING ERRCODE = '53100'; END $$"

    def fill(full: bool) -> None:
        made = (function, "CREATE TRIGGER no_room BEFORE INSERT ON reading EXECUTE FUNCTION no_room()")
        with engine.begin() as connection:
            for statement in made if full else ("DROP FUNCTION IF EXISTS no_room CASCADE",):
                connection.exec_driver_sql(statement)

    yield fill
    fill(False)


def test_a_full_disk_takes_nothing_in_and_gives_out_what_it_has(
    api: Api, full_disk: Callable[[bool], None]
) -> None:
    address = f"/v1/visits/{api.submit(long_visit(0))['visit_id']}"
    before = api.get(address, "heron").json()
    assert "n" * 2000 in str(before)
    full_disk(True)
    sent = (api.post("/v1/visits", long_visit(number), "heron") for number in range(1, 100))
    assert_told(next(answer for answer in sent if not answer.is_success), 507)
    assert api.get(address, "heron").json() == before
    while_full = api.every("/v1/visits")
    full_disk(False)
    api.submit(visit(team="last-of-all"))
    assert len(api.every("/v1/visits")) == len(while_full) + 1


@pytest.mark.parametrize(
    ("error", "full", "passing"),
    [
        (errors.DiskFull, True, True),
        (errors.QueryCanceled, False, True),
        (errors.LockNotAvailable, False, True),
        (errors.IdleInTransactionSessionTimeout, False, True),
        (errors.TransactionTimeout, False, True),
        (errors.TooManyConnections, False, True),
        (errors.UniqueViolation, False, False),
        (errors.UndefinedTable, False, False),
        (errors.InvalidTextRepresentation, False, False),
    ],
)
def test_errors_of_postgresql_by_their_codes(error: type[errors.Error], full: bool, passing: bool) -> None:
    # PostgreSQL manual, appendix A: classes 25, 53, 55, 57 are no fault of the statement; 22, 23, 42 are.
    raised = sa.exc.DBAPIError.instance("SELECT 1", None, error(), errors.Error)
    raised.__cause__ = raised.orig  # as it is when it was really raised
    assert (is_disk_full(raised), is_passing(raised)) == (full, passing)


def app_on(engine: Engine) -> Iterator[TestClient]:
    """An app on the session that every request of the service gets, which can take its time."""
    app = FastAPI()
    app.state.engine = engine
    http_errors.install(app)

    @app.post("/run")
    def run(session: RequestSession, statement: str, pause_s: float = 0, then: str = "SELECT 1") -> None:
        session.execute(sa.text(statement))
        time.sleep(pause_s)
        session.execute(sa.text(then))

    with TestClient(app, raise_server_exceptions=False) as client:
        yield client
    engine.dispose()


@pytest.fixture
def impatient(database_url: str) -> Iterator[TestClient]:
    yield from app_on(make_engine(database_url, timeout_s=1))


SLOW = "SELECT pg_sleep(3)"
CUT_OFF = "SELECT pg_terminate_backend(pg_backend_pid())"


@ON_POSTGRESQL
@pytest.mark.parametrize(
    ("statement", "pause_s"),
    [(SLOW, 0.0), ("SELECT 1", 1.5), (CUT_OFF, 0.0)],
    ids=["statement timeout", "idle in a transaction", "the server closes the connection"],
)
def test_work_that_is_cut_off_may_be_sent_again(
    impatient: TestClient, statement: str, pause_s: float
) -> None:
    query = {"statement": statement, "pause_s": pause_s}
    assert_told(impatient.post("/run", params=query), 503)
    assert impatient.post("/run", params={"statement": "SELECT 1"}).status_code == 200


@pytest.mark.parametrize("statement", ["SELECT nothing", "INSERT INTO school (code) VALUES ('heron')"])
@ON_POSTGRESQL
def test_a_mistake_of_ours_is_not_called_a_moment_of_weakness(impatient: TestClient, statement: str) -> None:
    answer = impatient.post("/run", params={"statement": statement})
    assert (answer.status_code, "Retry-After" in answer.headers) == (500, False)


def test_who_waits_too_long_for_a_lock_may_come_again(api: Api, impatient: TestClient) -> None:
    raise_counter = {"statement": "UPDATE change_counter SET last = last"}
    with api.engine.begin() as other:
        other.exec_driver_sql(raise_counter["statement"])
        assert_told(impatient.post("/run", params=raise_counter), 503)
    assert impatient.post("/run", params=raise_counter).status_code == 200


def test_who_gets_no_connection_may_come_again(database_url: str) -> None:
    engine = sa.create_engine(database_url, pool_size=1, max_overflow=0, pool_timeout=0.1)
    for client in app_on(engine):
        with engine.connect():
            assert_told(client.post("/run", params={"statement": "SELECT 1"}), 503)
        assert client.post("/run", params={"statement": "SELECT 1"}).status_code == 200


NOWHERE = "postgresql+psycopg://wadebook@127.0.0.1:1/wadebook"


def test_a_database_that_is_down_is_told_to_everybody(tmp_path: Path) -> None:
    with TestClient(create_app(Settings(database_url=NOWHERE)), raise_server_exceptions=False) as client:
        assert_told(client.get("/v1/sites"), 503)
        assert client.get("/readyz").status_code == 503
        assert client.get("/healthz").status_code == 200


@ON_POSTGRESQL
def test_a_database_that_was_started_anew_is_used_at_once(api: Api) -> None:
    assert api.get("/v1/sites").status_code == 200
    with api.engine.connect() as connection:
        connection.exec_driver_sql(
            "SELECT pg_terminate_backend(pid) FROM pg_stat_activity "
            "WHERE datname = current_database() AND pid <> pg_backend_pid()"
        )
    assert api.get("/v1/sites").status_code == 200
    api.submit(visit(readings=[reading("ph", 7.1, kit="ph-meter")]))
