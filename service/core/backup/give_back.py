"""Fill a database from a backup."""

import sqlite3
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy.exc import DatabaseError

from service.core.backup.postgres_dump import fill, migration_in_dump
from service.core.backup.queries import gather_statistics, rows_in, tables_in
from service.core.backup.sqlite_copy import copy_sqlite, migration_in
from service.core.backup.take import Kind, database_file, kind_of_backup, kind_of_database
from service.core.backup.whole_file import whole_file
from service.core.database import make_engine
from service.core.errors import WadebookError
from service.core.migrate import known_migrations

BESIDE = ("", "-wal", "-shm", "-journal")  # a SQLite database and what it may keep beside itself


@dataclass(frozen=True, slots=True)
class Restored:
    """What came back: rows by table, at which migration, and where the database of before is now."""

    migration: str
    is_newest: bool
    rows: dict[str, int]
    put_aside: Path | None


def restore_backup(url: str, file: Path, *, replace: bool) -> Restored:
    """Fill an empty database from a backup, all of it or nothing.

    Parameters
    ----------
    url : str
        Address of the database.
    file : Path
        The backup.
    replace : bool
        Whether a SQLite database that holds something is put aside under another name.

    Raises
    ------
    WadebookError
        The file is no sound backup of this kind of database, a newer release made it, or the database is
        not empty.
    """
    try:
        kind = kind_of_backup(file)
        if kind is not kind_of_database(url):
            raise WadebookError(
                f"{file} is a backup of {kind}, and WADEBOOK_DATABASE_URL names another kind."
            )
        if kind is Kind.SQLITE:
            return _into_sqlite(url, file, replace=replace)
        return _into_postgres(url, file, replace=replace)
    except (sqlite3.Error, OSError) as error:
        raise WadebookError(f"Nothing was restored: {error}") from None
    except DatabaseError as error:
        raise WadebookError(f"Nothing was restored: {error.orig}") from None


def _into_sqlite(url: str, file: Path, *, replace: bool) -> Restored:
    database = database_file(url)
    _require_known(file, migration_in(file))
    if database.exists() and not replace:
        _require_empty(url)
    with whole_file(database) as partial:
        migration = copy_sqlite(file, partial)
        aside = _put_aside(database)
    return _counted(url, migration, aside)


def _into_postgres(url: str, file: Path, *, replace: bool) -> Restored:
    if replace:
        raise WadebookError(
            "--replace is for SQLite. Make a new PostgreSQL database, name it in WADEBOOK_DATABASE_URL and "
            "restore into that one."
        )
    engine = make_engine(url)
    try:
        migration = migration_in_dump(engine, file)
        _require_known(file, migration)
        _require_empty(url)
        fill(engine, file)
        gather_statistics(engine)
    finally:
        engine.dispose()
    return _counted(url, migration, None)


def _require_known(file: Path, migration: str | None) -> None:
    if migration not in known_migrations():
        raise WadebookError(
            f"{file} stands at migration {migration}, which this release does not know. Install the release "
            "that made it, or a newer one."
        )


def _require_empty(url: str) -> None:
    engine = make_engine(url)
    try:
        held = tables_in(engine)
    finally:
        engine.dispose()
    if held:
        raise WadebookError(
            f"The database is not empty ({len(held)} tables), and nothing is restored over it. Name a new "
            "one in WADEBOOK_DATABASE_URL; for SQLite --replace puts the old file aside."
        )


def _put_aside(database: Path) -> Path | None:
    """Give what stands in the way another name, together with what belongs to it."""
    if not database.exists():
        return None
    aside = database.with_name(f"{database.name}.before-{datetime.now(UTC):%Y%m%dT%H%M%S%fZ}")
    for ending in BESIDE:
        part = database.with_name(database.name + ending)
        if part.exists():
            part.rename(aside.with_name(aside.name + ending))
    return aside


def _counted(url: str, migration: str, aside: Path | None) -> Restored:
    engine = make_engine(url)
    try:
        rows = rows_in(engine)
    finally:
        engine.dispose()
    return Restored(migration, migration == known_migrations()[0], rows, aside)
