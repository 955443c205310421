"""A service on a database that may lose what it acknowledged says so in its log, and runs."""

import logging
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing

import pytest
from fastapi.testclient import TestClient
from sqlalchemy import Engine, event, make_url

from service.app import create_app
from service.core.database import make_engine
from service.core.durability import OFF, warn_unless_durable
from service.core.migrate import upgrade
from service.core.settings import Settings

ON_SQLITE, ON_POSTGRESQL = (
    pytest.mark.parametrize("backend", [name], indirect=True, scope="session")
    for name in ("sqlite", "postgresql")
)


@pytest.fixture
def url(empty_database_url: Callable[[], str]) -> str:
    url = empty_database_url()
    upgrade(url)
    return url


@pytest.fixture
def engine_of_it(url: str) -> Iterator[Engine]:
    engine = make_engine(url)
    yield engine
    engine.dispose()


def said(caplog: pytest.LogCaptureFixture) -> list[str]:
    return [line.getMessage() for line in caplog.records if line.name == "wadebook.durability"]


def warned(engine: Engine, caplog: pytest.LogCaptureFixture) -> list[str]:
    caplog.clear()
    warn_unless_durable(engine)
    assert {line.levelno for line in caplog.records} <= {logging.WARNING}
    return said(caplog)


@ON_SQLITE
def test_of_the_files_that_the_service_makes_nothing_is_said(
    engine_of_it: Engine, caplog: pytest.LogCaptureFixture
) -> None:
    assert warned(engine_of_it, caplog) == []


@ON_SQLITE
@pytest.mark.parametrize(
    ("pragma", "told"),
    [
        ("synchronous=NORMAL", "synchronous is not FULL"),
        ("synchronous=OFF", "synchronous is not FULL"),
        ("foreign_keys=OFF", "foreign_keys is off"),
        ("journal_mode=MEMORY", "journal_mode is memory"),
        ("journal_mode=OFF", "journal_mode is off"),
    ],
)
def test_each_pragma_that_loses_something_is_named(
    engine_of_it: Engine, pragma: str, told: str, caplog: pytest.LogCaptureFixture
) -> None:
    @event.listens_for(engine_of_it, "connect")
    def _spoil(connection: sqlite3.Connection, _record: object) -> None:
        connection.execute("PRAGMA journal_mode=DELETE")  # a write-ahead log is not given up for MEMORY
        connection.execute(f"PRAGMA {pragma}")

    (line,) = warned(engine_of_it, caplog)
    assert told in line


@ON_SQLITE
def test_a_write_ahead_log_is_named_where_this_sqlite_may_lose_a_commit_of_it(
    url: str, engine_of_it: Engine, caplog: pytest.LogCaptureFixture
) -> None:
    with closing(sqlite3.connect(make_url(url).database or "")) as connection:
        assert connection.execute("PRAGMA journal_mode=WAL").fetchone() == ("wal",)
    # SQLite's change log: the race of two connections was mended in 3.51.3.
    expected = 0 if sqlite3.sqlite_version_info >= (3, 51, 3) else 1
    lines = warned(engine_of_it, caplog)
    assert len([line for line in lines if "write-ahead log" in line]) == len(lines) == expected


@ON_POSTGRESQL
@pytest.mark.parametrize("value", ["off", "local", "on"])
def test_a_server_that_does_not_wait_for_the_disk_is_named(
    engine_of_it: Engine, value: str, caplog: pytest.LogCaptureFixture
) -> None:
    with engine_of_it.begin() as connection:
        connection.exec_driver_sql(
            f"ALTER DATABASE {engine_of_it.url.database} SET synchronous_commit = {value}"
        )
        server = {name: connection.exec_driver_sql(f"SHOW {name}").scalar_one() for name in OFF}
    engine_of_it.dispose()  # it holds for connections that are made from now on
    off = {name for name, found in (server | {"synchronous_commit": value}).items() if found == "off"}
    lines = warned(engine_of_it, caplog)
    assert {line.removeprefix("what is acknowledged may be lost: ").split()[0] for line in lines} == off
    assert len(lines) == len(off)


@ON_SQLITE
def test_the_service_says_it_when_it_starts_and_runs(url: str, caplog: pytest.LogCaptureFixture) -> None:
    app = create_app(Settings(database_url=url))

    @event.listens_for(app.state.note_engine, "connect")
    def _spoil(connection: sqlite3.Connection, _record: object) -> None:
        connection.execute("PRAGMA synchronous=OFF")

    with TestClient(app) as client:
        assert client.get("/readyz").status_code == 200
    assert len(said(caplog)) == 1


@pytest.mark.parametrize(
    "away", ["postgresql+psycopg://nobody@127.0.0.1:9/none", "sqlite:////no/such/folder/x.db"]
)
def test_without_a_database_it_starts_and_says_nothing_of_the_kind(
    away: str, caplog: pytest.LogCaptureFixture
) -> None:
    with TestClient(create_app(Settings(database_url=away))) as client:
        assert client.get("/readyz").status_code == 503
    assert said(caplog) == []
