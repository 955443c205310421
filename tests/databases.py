"""Databases for the tests: new ones, and ones put back as they were, on SQLite and on PostgreSQL."""

import uuid
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, MetaData, NullPool, Table, create_engine, make_url

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


def read_content(engine: Engine) -> list[TableContent]:
    """Return every table with its rows, the referred-to tables before those that refer to them."""
    found = MetaData()
    found.reflect(engine)
    with engine.begin() as connection:
        return [
            (table, [dict(row) for row in connection.execute(table.select()).mappings()])
            for table in found.sorted_tables
            if table.name != VERSION_TABLE
        ]


def restore_content(engine: Engine, content: Sequence[TableContent]) -> None:
    """Make the tables hold these rows and no others."""
    with engine.begin() as connection:
        _empty(connection, [table for table, _rows in content])
        for table, rows in content:
            if rows:
                connection.execute(table.insert(), rows)


def _empty(connection: Connection, tables: Sequence[Table]) -> None:
    if connection.dialect.name == "postgresql":
        names = ", ".join(f'"{table.name}"' for table in tables)
        connection.exec_driver_sql(f"TRUNCATE {names} RESTART IDENTITY CASCADE")
        return
    connection.exec_driver_sql("PRAGMA defer_foreign_keys=ON")
    for table in reversed(tables):
        connection.execute(table.delete())
