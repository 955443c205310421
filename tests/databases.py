"""Databases for the tests: new ones, and ones put back as they were, on SQLite and on PostgreSQL."""

import sqlite3
import uuid
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import Engine, MetaData, NullPool, Table, create_engine, event, make_url

VERSION_TABLE = "alembic_version"

TableContent = tuple[Table, list[dict[str, Any]]]


def new_sqlite(folder: Path) -> str:
    """Return the address of a SQLite file that does not exist yet."""
    return f"sqlite:///{folder / uuid.uuid4().hex}.db"


@contextmanager
def new_postgres(server_url: str) -> Iterator[str]:
    """Create an empty database on a running server, give its address, and drop it at the end.

    The database that ``server_url`` names is only connected to, never written.
    """
    name = f"wadebook_test_{uuid.uuid4().hex[:12]}"
    server = create_engine(server_url, isolation_level="AUTOCOMMIT", poolclass=NullPool)
    with server.connect() as connection:
        connection.exec_driver_sql(f"CREATE DATABASE {name} TEMPLATE template0 ENCODING 'UTF8'")
    try:
        yield make_url(server_url).set(database=name).render_as_string(hide_password=False)
    finally:
        with server.connect() as connection:
            connection.exec_driver_sql(f"DROP DATABASE {name} WITH (FORCE)")


def tables_of(engine: Engine) -> list[Table]:
    """Return every table of a database, the referred-to before those that refer to them."""
    found = MetaData()
    found.reflect(engine)
    return [table for table in found.sorted_tables if table.name != VERSION_TABLE]


def read_content(engine: Engine, tables: Sequence[Table] = ()) -> list[TableContent]:
    """Return every table with its rows; whoever knows the tables spares us asking for them."""
    known = tables or tables_of(engine)
    with engine.begin() as connection:
        return [
            (table, [dict(row) for row in connection.execute(table.select()).mappings()]) for table in known
        ]


def restore_content(engine: Engine, content: Sequence[TableContent]) -> None:
    """Make the tables hold these rows and no others."""
    with engine.begin() as connection:
        if connection.dialect.name == "sqlite":
            connection.exec_driver_sql("PRAGMA defer_foreign_keys=ON")
        for table, _rows in reversed(content):  # of few rows DELETE is ten times as quick as TRUNCATE
            connection.exec_driver_sql(f'DELETE FROM "{table.name}"')
        for table, rows in content:
            if rows:
                connection.execute(table.insert(), rows)


def spare_the_disk(engine: Engine) -> None:
    """Let commits to a SQLite file not wait for the disk, as those of our PostgreSQL server do not."""
    if engine.dialect.name == "sqlite":
        engine.dispose()  # connections that are open already would go on waiting

        @event.listens_for(engine, "connect")
        def _spare(connection: sqlite3.Connection, _record: Any) -> None:
            connection.execute("PRAGMA synchronous=OFF")


class Kept(ExitStack):
    """What is made once for a backend and stays to the end of the session, whoever asks in between.

    pytest takes a fixture of one backend down as soon as a test asks for the other backend. Databases that
    are made anew for each module cost every test module a second, and SQLAlchemy all that it has compiled.
    """

    def __init__(self) -> None:
        super().__init__()
        self._made: dict[tuple[str, str], Any] = {}

    def once(self, backend: str, what: str, make: Callable[[], Any]) -> Any:
        if (backend, what) not in self._made:
            self._made[backend, what] = make()
        return self._made[backend, what]
