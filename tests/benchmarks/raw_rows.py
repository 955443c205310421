"""The peer of a submission: the same rows, sent straight to the database by hand-written code.

No HTTP, no checks, no scores, no ORM; on PostgreSQL all statements of a visit travel together. Numbers of
changes come from this process, so unlike the service it never waits for the counter that orders them.
"""

import itertools
import sqlite3
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID, uuid4

import psycopg
from sqlalchemy import Engine, MetaData, make_url

from service.core.database import WAL_SAFE_SINCE, make_engine

NUMBERS = itertools.count(10**9)  # beyond every number that the service hands out meanwhile
VISIT, CHANGE = "visit", "change"

Row = tuple[Any, ...]
Send = Callable[[], str]  # gives the id of the visit that was stored


@dataclass(frozen=True)
class TableRows:
    """The rows of one table that a visit takes, as its driver reads and takes them."""

    table: str
    columns: tuple[str, ...]
    rows: tuple[Row, ...]

    @property
    def content(self) -> list[Row]:
        """The rows without what tells one visit from another of the same content."""
        own = (_visit_column(self.table), "number")
        places = [place for place, name in enumerate(self.columns) if name not in own]
        return [tuple(row[place] for place in places) for row in self.rows]

    def again(self, visit_id: str) -> list[Row]:
        """Return the rows for another visit with the same content."""
        new = {_visit_column(self.table): visit_id}
        if self.table == CHANGE:
            new["number"] = str(next(NUMBERS))
        return [
            tuple(new.get(name, value) for name, value in zip(self.columns, row, strict=True))
            for row in self.rows
        ]


def read_rows(url: str, visit_id: str) -> list[TableRows]:
    """Return all rows of a stored visit, the referred-to tables first."""
    engine = make_engine(url)
    postgres = engine.dialect.name == "postgresql"
    tables, found = _tables_of_visits(engine), []
    with engine.connect() as connection:
        for table, columns in tables:
            wanted = ", ".join(f'"{name}"::text' if postgres else f'"{name}"' for name in columns)
            rows = connection.exec_driver_sql(f"SELECT {wanted} {_of(table, [visit_id], postgres)}").all()
            if rows:
                found.append(TableRows(table, columns, tuple(tuple(row) for row in rows)))
    engine.dispose()
    return found


def forget(url: str, visit_ids: Sequence[str]) -> None:
    """Take visits out of the database again, so that each turn finds it as the last one did."""
    engine = make_engine(url)
    tables = _tables_of_visits(engine)
    with engine.begin() as connection:
        for table, _ in reversed(tables):
            connection.exec_driver_sql(f"DELETE {_of(table, visit_ids, engine.dialect.name == 'postgresql')}")
    engine.dispose()


def _tables_of_visits(engine: Engine) -> list[tuple[str, tuple[str, ...]]]:
    found = MetaData()
    found.reflect(engine)
    tables = [(table.name, tuple(column.name for column in table.columns)) for table in found.sorted_tables]
    return [(table, columns) for table, columns in tables if _visit_column(table) in columns]


def _of(table: str, visit_ids: Sequence[str], postgres: bool) -> str:
    as_text = postgres or table == CHANGE
    listed = ", ".join(f"'{one if as_text else UUID(one).hex}'" for one in visit_ids)
    return f'FROM "{table}" WHERE "{_visit_column(table)}" IN ({listed})'


def _visit_column(table: str) -> str:
    return {VISIT: "id", CHANGE: "subject_id"}.get(table, "visit_id")


def sender(url: str, visit: Sequence[TableRows]) -> Send:
    """Return what stores the visit once more, in a connection of its own, and waits for the commit."""
    if make_url(url).get_backend_name() == "sqlite":
        return _sqlite_sender(str(make_url(url).database), visit)
    return _postgres_sender(url.replace("postgresql+psycopg", "postgresql"), visit)


def _sqlite_sender(file: str, visit: Sequence[TableRows]) -> Send:
    connection = sqlite3.connect(file, timeout=30, isolation_level=None, check_same_thread=False)
    connection.execute("PRAGMA foreign_keys=ON")
    connection.execute("PRAGMA synchronous=FULL")
    if sqlite3.sqlite_version_info >= WAL_SAFE_SINCE:
        connection.execute("PRAGMA journal_mode=WAL")
    inserts = [f"{_insert(part)} ({', '.join('?' * len(part.columns))})" for part in visit]

    def send() -> str:
        new = uuid4()
        connection.execute("BEGIN IMMEDIATE")
        for part, insert in zip(visit, inserts, strict=True):
            connection.executemany(insert, part.again(str(new) if part.table == CHANGE else new.hex))
        connection.execute("COMMIT")
        return str(new)

    return send


def _postgres_sender(address: str, visit: Sequence[TableRows]) -> Send:
    connection = psycopg.connect(address)
    inserts = []
    for part in visit:
        one = f"({', '.join(['%s'] * len(part.columns))})"
        inserts.append(f"{_insert(part)} {', '.join([one] * len(part.rows))}".encode())

    def send() -> str:
        new = str(uuid4())
        with connection.pipeline():
            for part, insert in zip(visit, inserts, strict=True):
                connection.execute(insert, list(itertools.chain.from_iterable(part.again(new))))
            connection.commit()
        return new

    return send


def _insert(part: TableRows) -> str:
    columns = ", ".join(f'"{name}"' for name in part.columns)
    return f'INSERT INTO "{part.table}" ({columns}) VALUES'
