"""SQL that backups need: hold a snapshot, judge a copy, count what came back."""

import sqlite3

import sqlalchemy as sa
from sqlalchemy import Engine

VERSION_TABLE = "alembic_version"


def hold_snapshot(connection: sqlite3.Connection) -> None:
    """Let a connection see what is committed now, and nothing newer, until it is closed."""
    connection.execute("BEGIN")
    connection.execute("SELECT count(*) FROM sqlite_master")  # BEGIN alone takes no snapshot


def migration_of(connection: sqlite3.Connection) -> str | None:
    """Return the migration that a SQLite database stands at, or ``None``."""
    if not connection.execute("SELECT 1 FROM sqlite_master WHERE name = ?", (VERSION_TABLE,)).fetchone():
        return None
    row = connection.execute("SELECT version_num FROM alembic_version").fetchone()
    return str(row[0]) if row else None


def keep_in_one_file(connection: sqlite3.Connection) -> None:
    """Let a copy live in one file, also when the original keeps a write-ahead log beside it."""
    connection.execute("PRAGMA journal_mode=DELETE")


def faults_in(connection: sqlite3.Connection) -> list[str]:
    """Return what is wrong with a SQLite database: torn pages, or rows that refer to nothing."""
    torn = [str(told) for (told,) in connection.execute("PRAGMA integrity_check(10)") if told != "ok"]
    if torn:
        return torn
    orphans = connection.execute("PRAGMA foreign_key_check").fetchmany(10)
    return [f"row {row} of {table} refers to nothing in {parent}" for table, row, parent, _ in orphans]


def tables_in(engine: Engine) -> list[str]:
    """Return the names of a database's tables."""
    return sorted(sa.inspect(engine.execution_options(reads_only=True)).get_table_names())


def rows_in(engine: Engine) -> dict[str, int]:
    """Return how many rows each table has."""
    with engine.execution_options(reads_only=True).connect() as connection:
        return {
            name: int(connection.execute(sa.select(sa.func.count()).select_from(sa.table(name))).scalar_one())
            for name in tables_in(engine)
            if name != VERSION_TABLE
        }


def gather_statistics(engine: Engine) -> None:
    """Let PostgreSQL look at its tables, without which its first queries are planned blindly."""
    with engine.begin() as connection:
        connection.exec_driver_sql("ANALYZE")


def server_major(engine: Engine) -> int:
    """Return the major version of a PostgreSQL server."""
    with engine.connect() as connection:
        return int(connection.execute(sa.text("SHOW server_version_num")).scalar_one()) // 10_000
