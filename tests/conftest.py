"""Databases for tests: each test that asks for one runs on SQLite and on PostgreSQL.

`database_url`, `engine`   a migrated database, as the migrations left it after each test
`empty_database_url`       makes databases without any table, for tests of the migrations
"""

import os
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from typing import Any

import pytest
from sqlalchemy import Engine

from service.core.database import make_engine
from service.core.migrate import upgrade
from tests.databases import TableContent, new_postgres, new_sqlite, read_content, restore_content
from tests.postgres_server import running_server

pytest_plugins = ["tests.api"]

SERVER = pytest.StashKey[str]()


def server_url(config: pytest.Config) -> str:
    """Return the PostgreSQL server of this test session; the first who asks starts it."""
    from_controller: str | None = getattr(config, "workerinput", {}).get("postgres_server_url")
    given = from_controller or os.environ.get("WADEBOOK_TEST_POSTGRES_URL")
    if given:
        return given
    if SERVER not in config.stash:
        running = ExitStack()
        config.stash[SERVER] = running.enter_context(running_server())
        config.add_cleanup(running.close)
    return config.stash[SERVER]


@pytest.hookimpl(optionalhook=True)
def pytest_configure_node(node: Any) -> None:
    """Tell each worker of pytest-xdist about the one server, which the controller starts and stops."""
    node.workerinput["postgres_server_url"] = server_url(node.config)


@pytest.fixture(scope="session", params=["sqlite", "postgresql"])
def backend(request: pytest.FixtureRequest) -> str:
    return request.param


@pytest.fixture(scope="session")
def make_database(
    backend: str, pytestconfig: pytest.Config, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Callable[[], str]]:
    with ExitStack() as databases:
        if backend == "sqlite":
            folder = tmp_path_factory.mktemp("sqlite")
            yield lambda: new_sqlite(folder)
        else:
            server = server_url(pytestconfig)
            yield lambda: databases.enter_context(new_postgres(server))


@pytest.fixture
def empty_database_url(make_database: Callable[[], str]) -> Callable[[], str]:
    return make_database


@pytest.fixture(scope="session")
def migrated_database(make_database: Callable[[], str]) -> Iterator[tuple[Engine, list[TableContent]]]:
    url = make_database()
    upgrade(url)
    engine = make_engine(url, timeout_s=5)  # a test that waits for a lock waits for itself
    yield engine, read_content(engine)
    engine.dispose()


@pytest.fixture
def engine(migrated_database: tuple[Engine, list[TableContent]]) -> Iterator[Engine]:
    engine, content = migrated_database
    yield engine
    restore_content(engine, content)


@pytest.fixture
def database_url(engine: Engine) -> str:
    return engine.url.render_as_string(hide_password=False)
