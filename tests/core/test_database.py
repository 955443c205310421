"""The database kernel: real transactions on both databases, and a commit that the answer waits for."""

import sqlite3
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from pathlib import Path

import pytest
import sqlalchemy as sa
from fastapi import FastAPI
from fastapi.testclient import TestClient
from sqlalchemy import Engine
from sqlmodel import Session, SQLModel

from service.core import http_errors
from service.core.database import RequestSession, make_engine
from service.core.errors import Conflict
from service.core.request_id import RequestId
from service.schools.tables import School
from service.sites.tables import NetworkKit, SchoolKitLot, Site, Watershed
from tests.api import Api, visit

TABLES = sa.MetaData()
COUNTER = sa.Table("counter", TABLES, sa.Column("value", sa.Integer))
PARENT = sa.Table("parent", TABLES, sa.Column("id", sa.Integer, primary_key=True))
CHILD = sa.Table(
    "child",
    TABLES,
    sa.Column("id", sa.Integer, primary_key=True),
    # Checked at the commit only: the statement succeeds, the commit may fail.
    sa.Column("parent", sa.ForeignKey("parent.id", deferrable=True, initially="DEFERRED")),
)
ON_SQLITE, ON_POSTGRESQL = (
    pytest.mark.parametrize("backend", [name], indirect=True, scope="session")
    for name in ("sqlite", "postgresql")
)
SCHOOL = {"code": "ibis", "name": "Ibis School", "time_zone": "UTC"}


@pytest.fixture
def own_engine(empty_database_url: Callable[[], str]) -> Iterator[Engine]:
    """A database of this test's own, with a counter at 0 and one parent."""
    engine = make_engine(empty_database_url(), timeout_s=10)
    with engine.begin() as connection:
        TABLES.create_all(connection)
        connection.execute(COUNTER.insert().values(value=0))
        connection.execute(PARENT.insert().values(id=1))
    yield engine
    engine.dispose()


def rows(engine: Engine, table: sa.Table) -> list[tuple]:
    """What another process would read."""
    other = make_engine(engine.url.render_as_string(hide_password=False))
    with other.execution_options(reads_only=True).connect() as connection:
        found = [tuple(row) for row in connection.execute(sa.select(table))]
    other.dispose()
    return found


def test_a_row_that_points_to_nothing_is_refused(own_engine: Engine) -> None:
    with pytest.raises(sa.exc.IntegrityError), own_engine.begin() as connection:
        connection.execute(CHILD.insert().values(id=7, parent=99))
    assert rows(own_engine, CHILD) == []


def test_every_sqlite_connection_checks_references_and_waits_for_the_disk(tmp_path: Path) -> None:
    engine = make_engine(f"sqlite:///{tmp_path / 'x.db'}")
    # SQLite's manual: PRAGMA synchronous 2 is FULL; its change log: write-ahead log safe from 3.51.3 on.
    wanted = (1, 2, "wal" if sqlite3.sqlite_version_info >= (3, 51, 3) else "delete")
    at_once = [engine.connect() for _ in range(3)]
    for connection in at_once:
        pragmas = ("foreign_keys", "synchronous", "journal_mode")
        found = tuple(connection.exec_driver_sql(f"PRAGMA {name}").scalar_one() for name in pragmas)
        assert found == wanted
        connection.close()
    engine.dispose()


@ON_POSTGRESQL
def test_nothing_waits_for_ever_on_postgresql(own_engine: Engine) -> None:
    limits = ("statement_timeout", "lock_timeout", "idle_in_transaction_session_timeout")
    with own_engine.begin() as connection:
        found = {name: connection.exec_driver_sql(f"SHOW {name}").scalar_one() for name in limits}
    assert found == dict.fromkeys(limits, "10s")


def test_eight_writers_that_read_first_lose_no_update(own_engine: Engine) -> None:
    def count_ten_times(_: int) -> None:
        for _ in range(10):
            with Session(own_engine) as session:
                # The lock of a row is PostgreSQL's; SQLite's writer holds the whole file from its BEGIN on.
                value = session.scalars(sa.select(COUNTER.c.value).with_for_update()).one()
                session.execute(COUNTER.update().values(value=value + 1))
                session.commit()

    with ThreadPoolExecutor(8) as pool:
        list(pool.map(count_ten_times, range(8)))
    assert rows(own_engine, COUNTER) == [(80,)]


def test_a_table_made_in_a_transaction_that_is_rolled_back_is_not_there(own_engine: Engine) -> None:
    with own_engine.connect() as connection, connection.begin() as transaction:
        connection.exec_driver_sql("CREATE TABLE half_made (id INTEGER)")
        connection.exec_driver_sql("INSERT INTO half_made VALUES (1)")
        transaction.rollback()
    assert not sa.inspect(own_engine).has_table("half_made")


def app_on(engine: Engine) -> TestClient:
    """An app with one writing address, on the session that every request of the service gets."""
    app = FastAPI()
    app.state.engine = engine
    http_errors.install(app)
    app.add_middleware(RequestId)

    @app.post("/children/{number}", status_code=201)
    def add_child(number: int, parent: int, session: RequestSession, then: str = "") -> dict[str, str]:
        session.execute(CHILD.insert().values(id=number, parent=parent))
        if then == "refuse":
            raise Conflict("Refused after the row was written.")
        return {"said": "stored"}

    return TestClient(app, raise_server_exceptions=False)


@pytest.fixture
def small_app(own_engine: Engine) -> TestClient:
    return app_on(own_engine)


def test_what_was_answered_as_stored_is_stored(small_app: TestClient, own_engine: Engine) -> None:
    assert small_app.post("/children/1?parent=1").status_code == 201
    assert rows(own_engine, CHILD) == [(1, 1)]


def test_a_commit_that_fails_is_an_answer_that_fails(small_app: TestClient, own_engine: Engine) -> None:
    answer = small_app.post("/children/1?parent=99")
    assert (answer.status_code, answer.headers["content-type"]) == (500, "application/problem+json")
    assert rows(own_engine, CHILD) == []


def test_a_commit_that_fails_spoils_no_connection_for_the_next_requests(small_app: TestClient) -> None:
    small_app.post("/children/1?parent=99")
    assert [small_app.post(f"/children/{n}?parent=1").status_code for n in (1, 2, 3)] == [201] * 3


@ON_SQLITE
def test_a_commit_that_waited_too_long_can_be_sent_again(
    empty_database_url: Callable[[], str],
) -> None:
    engine = make_engine(empty_database_url(), timeout_s=1)
    with engine.begin() as connection:
        TABLES.create_all(connection)
        connection.execute(PARENT.insert().values(id=1))
    app = app_on(engine)
    with engine.execution_options(reads_only=True).connect() as reader:
        reading = reader.execute(sa.select(PARENT))  # not read to its end: it keeps its lock
        first = app.post("/children/1?parent=1").status_code
        reading.close()
    # With a write-ahead log no reader is in the way, and the first is stored.
    assert first in (201, 503)
    if first == 503:
        assert app.post("/children/1?parent=1").status_code == 201
    assert rows(engine, CHILD) == [(1, 1)]
    engine.dispose()


def test_a_failure_carries_its_request_id_in_the_header_too(small_app: TestClient) -> None:
    answer = small_app.post("/children/1?parent=99", headers={"X-Request-Id": "creek-side-0001"})
    assert answer.json()["request_id"] == "creek-side-0001"
    assert answer.headers.get("x-request-id") == "creek-side-0001"


def test_a_request_refused_half_way_leaves_nothing(small_app: TestClient, own_engine: Engine) -> None:
    assert small_app.post("/children/1?parent=1&then=refuse").status_code == 409
    assert rows(own_engine, CHILD) == []


def test_who_only_reads_does_not_wait_for_a_writer(api: Api) -> None:
    stored = api.get("/v1/schools").json()
    with api.engine.begin() as connection:
        connection.exec_driver_sql("UPDATE change_counter SET last = last")
        assert api.get("/v1/schools").json() == stored
        assert api.post("/v1/visits?dry_run=true", visit(), "heron").status_code == 200


@pytest.mark.parametrize("query", ["dry_run=true", "dry_run=1", "dry_run=false"])
def test_no_address_answers_as_stored_what_it_did_not_store(api: Api, query: str) -> None:
    answer = api.post(f"/v1/schools?{query}", SCHOOL)
    there = api.get("/v1/schools/ibis").status_code == 200
    assert answer.is_success == there, answer.text


def test_a_key_that_was_answered_as_revoked_is_revoked(api: Api) -> None:
    made = api.post("/v1/keys", {"role": "reader", "label": "notice board"}).json()
    answer = api.call("DELETE", f"/v1/keys/{made['id']}?dry_run=true", "coordinator")
    still_good = api.get("/v1/schools", made["key"]).status_code == 200
    assert answer.is_success != still_good, answer.text


NOW = datetime(2026, 3, 12, tzinfo=UTC)
CARD = {
    "code": "card", "name": "Card", "kind": "strip", "parameter": "ph", "unit": "std units",
    "lower": 4.0, "upper": 9.0, "step": 1.0, "reads_zero": False,
}  # fmt: skip
ASH = {"code": "ash-01", "name": "Ash", "school": "heron"}
BOX = {"school": "heron", "code": "box-a", "kit": "ph-meter"}
PLACE = {"scheme": "huc", "code": "0301"}


@pytest.mark.parametrize(
    ("being_entered", "address", "body", "status"),
    [
        (lambda: School(**SCHOOL, created_at=NOW), "/v1/schools", SCHOOL, 409),
        (lambda: Site(**ASH, time_zone="UTC", created_at=NOW), "/v1/sites", ASH, 409),
        (lambda: NetworkKit(**CARD, created_at=NOW), "/v1/kits", CARD, 409),
        (lambda: SchoolKitLot(**BOX, created_at=NOW), "/v1/kit-lots", BOX, 409),
        (lambda: Watershed(**PLACE), "/v1/watersheds", PLACE | {"name": "Ash Run"}, 201),
        (lambda: Watershed(**PLACE), "/v1/sites", ASH | {"watershed": PLACE}, 201),
    ],
    ids=["school", "site", "kit", "box", "watershed", "watershed-of-a-site"],
)
def test_what_another_request_is_just_entering_is_there(
    api: Api, being_entered: Callable[[], SQLModel], address: str, body: dict, status: int
) -> None:
    with Session(api.engine) as other, ThreadPoolExecutor(1) as pool:
        other.add(being_entered())
        other.flush()
        second = pool.submit(api.post, address, body)
        time.sleep(0.1)  # it now waits for the other's commit: on SQLite to begin, on PostgreSQL to insert
        other.commit()
        answer = second.result()
    assert answer.status_code == status, answer.text
