"""Write a backup of a database that is in use, and tell a backup file from any other."""

import sqlite3
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from sqlalchemy import make_url

from service.core.backup.postgres_dump import dump
from service.core.backup.sqlite_copy import copy_sqlite
from service.core.backup.whole_file import require_free, whole_file
from service.core.database import make_engine
from service.core.errors import WadebookError


class Kind(StrEnum):
    """What a backup is a backup of."""

    SQLITE = "SQLite"
    POSTGRESQL = "PostgreSQL"


# How the two kinds of file begin: "Database File Format" 1.2 of SQLite; `pg_dump` of PostgreSQL.
BEGINNINGS = {b"SQLite format 3\0": Kind.SQLITE, b"PGDMP": Kind.POSTGRESQL}


@dataclass(frozen=True, slots=True)
class Backup:
    """A backup that was written: of what, at which migration, how large [byte]."""

    kind: Kind
    migration: str
    size_bytes: int


def take_backup(url: str, file: Path) -> Backup:
    """Write all that is committed at one moment into a new file; the service may go on working.

    Raises
    ------
    WadebookError
        The file is there already or cannot be written, or the database cannot be read.
    """
    kind = kind_of_database(url)
    require_free(file)
    try:
        with whole_file(file) as partial:
            if kind is Kind.SQLITE:
                migration = copy_sqlite(database_file(url), partial)
            else:
                migration = _dump(url, partial)
        return Backup(kind, migration, file.stat().st_size)
    except (sqlite3.Error, OSError) as error:
        raise WadebookError(f"No backup was written: {error}") from None


def _dump(url: str, file: Path) -> str:
    engine = make_engine(url)
    try:
        return dump(engine, file)
    finally:
        engine.dispose()


def kind_of_database(url: str) -> Kind:
    """Return what stands behind an address."""
    return Kind.SQLITE if url.startswith("sqlite") else Kind.POSTGRESQL


def database_file(url: str) -> Path:
    """Return the file behind the address of a SQLite database."""
    return Path(make_url(url).database or "")


def kind_of_backup(file: Path) -> Kind:
    """Return which kind of backup a file says that it is.

    Raises
    ------
    WadebookError
        It is none.
    """
    with file.open("rb") as opened:
        begins = opened.read(max(map(len, BEGINNINGS)))
    for beginning, kind in BEGINNINGS.items():
        if begins.startswith(beginning):
            return kind
    raise WadebookError(f"{file} is no backup of this service.")
