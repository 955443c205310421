"""Databases for tests: each test that asks for one runs on SQLite and on PostgreSQL.

`database_url`, `engine`   a migrated database, as the migrations left it after each test
`empty_database_url`       makes databases without any table, for tests of the migrations
"""

import gc
import os
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, ExitStack, nullcontext
from typing import Any

import pytest
from sqlalchemy import Engine

from service.core.database import make_engine
from service.core.migrate import upgrade
from tests.databases import (
    Kept,
    TableContent,
    new_postgres,
    new_sqlite,
    read_content,
    restore_content,
    spare_the_disk,
)
from tests.postgres_server import running_server
from tests.scheduling import InOrder, put_longest_first

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


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    put_longest_first(items)


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> InOrder | None:
    """Let `--dist loadscope` take the modules as they come, not those of most tests first."""
    if config.getoption("dist") != "loadscope":
        return None
    config.option.loadscopereorder = False
    return InOrder(config, log)


def pytest_collection_finish() -> None:
    """Let the garbage collector look no more through what stays anyway: that took a fifth of all time."""
    gc.collect()
    gc.freeze()


@pytest.fixture(scope="session", params=["sqlite", "postgresql"])
def backend(request: pytest.FixtureRequest) -> str:
    return request.param


@pytest.fixture(scope="session")
def new_database(
    pytestconfig: pytest.Config, tmp_path_factory: pytest.TempPathFactory
) -> Callable[[str], AbstractContextManager[str]]:
    """Give the function that makes an empty database on a backend and drops it at the end of its block."""
    folder = tmp_path_factory.mktemp("sqlite")

    def new(backend: str) -> AbstractContextManager[str]:
        return (
            nullcontext(new_sqlite(folder)) if backend == "sqlite" else new_postgres(server_url(pytestconfig))
        )

    return new


@pytest.fixture(scope="session")
def make_database(
    backend: str, new_database: Callable[[str], AbstractContextManager[str]]
) -> Iterator[Callable[[], str]]:
    with ExitStack() as databases:
        yield lambda: databases.enter_context(new_database(backend))


@pytest.fixture
def empty_database_url(make_database: Callable[[], str]) -> Callable[[], str]:
    return make_database


@pytest.fixture(scope="session")
def to_the_end() -> Iterator[Kept]:
    """Keep what is made once for each database, whatever order the tests ask for them in."""
    with Kept() as kept:
        yield kept


@pytest.fixture(scope="session")
def migrated_database(
    backend: str, new_database: Callable[[str], AbstractContextManager[str]], to_the_end: Kept
) -> tuple[Engine, list[TableContent]]:
    def make() -> tuple[Engine, list[TableContent]]:
        url = to_the_end.enter_context(new_database(backend))
        upgrade(url)
        engine = make_engine(url, timeout_s=5)  # a test that waits for a lock waits for itself
        spare_the_disk(engine)
        to_the_end.callback(engine.dispose)
        return engine, read_content(engine)

    return to_the_end.once(backend, "database", make)


@pytest.fixture
def engine(migrated_database: tuple[Engine, list[TableContent]]) -> Iterator[Engine]:
    engine, content = migrated_database
    yield engine
    restore_content(engine, content)


@pytest.fixture
def database_url(engine: Engine) -> str:
    return engine.url.render_as_string(hide_password=False)
