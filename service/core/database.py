"""The database kernel: engine, sessions, and the one place where a request commits."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Annotated, Any

from fastapi import Depends, Request
from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.exc import IntegrityError
from sqlmodel import Session, SQLModel

from service.core.errors import Conflict

SQLModel.metadata.naming_convention = {
    "pk": "pk_%(table_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
}

# Before this release the write-ahead log could lose a commit in a rare race of two connections.
WAL_SAFE_SINCE = (3, 51, 3)
SAFE_METHODS = frozenset({"GET", "HEAD", "OPTIONS"})


def make_engine(url: str, *, foreign_keys: bool = True, connections: int = 20, timeout_s: int = 30) -> Engine:
    """Return an engine for SQLite or PostgreSQL whose transactions really begin, roll back and wait.

    Parameters
    ----------
    url
        SQLAlchemy address, ``sqlite:///file`` or ``postgresql+psycopg://…``.
    foreign_keys
        Whether SQLite enforces references; off only while migrating, where a table copy would else
        delete the rows that point to it.
    connections
        Size of the pool.
    timeout_s
        Longest wait for a lock, and on PostgreSQL for a statement [s].
    """
    if url.startswith("sqlite"):
        engine = create_engine(
            url,
            pool_size=connections,
            max_overflow=0,
            hide_parameters=True,
            connect_args={"timeout": timeout_s},
        )
        _teach_sqlite(engine, foreign_keys=foreign_keys)
        return engine
    options = f"-c statement_timeout={timeout_s}s -c lock_timeout={timeout_s}s -c TimeZone=UTC -c jit=off"
    options += f" -c idle_in_transaction_session_timeout={timeout_s}s"
    return create_engine(
        url,
        pool_size=connections,
        max_overflow=0,
        pool_pre_ping=True,
        hide_parameters=True,  # an error's message does not repeat what a caller sent
        connect_args={"options": options, "connect_timeout": timeout_s},
    )


def _teach_sqlite(engine: Engine, *, foreign_keys: bool) -> None:
    @event.listens_for(engine, "connect")
    def _open(connection: sqlite3.Connection, _record: Any) -> None:
        connection.isolation_level = None  # we send BEGIN ourselves: real rollback, also of DDL
        connection.execute(f"PRAGMA foreign_keys={'ON' if foreign_keys else 'OFF'}")
        connection.execute("PRAGMA synchronous=FULL")
        connection.execute("PRAGMA secure_delete=ON")  # what is removed does not stay in the file
        if sqlite3.sqlite_version_info >= WAL_SAFE_SINCE:
            connection.execute("PRAGMA journal_mode=WAL")

    @event.listens_for(engine, "reset")
    def _close_transaction(connection: sqlite3.Connection, _record: Any, _state: Any) -> None:
        # A COMMIT that failed leaves the transaction open, and the pool would hand it to the next request.
        if connection.in_transaction:
            connection.rollback()

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        # A writer takes its lock at once: read-then-write in a deferred transaction loses updates.
        reads_only = connection.get_execution_options().get("reads_only", False)
        connection.exec_driver_sql("BEGIN" if reads_only else "BEGIN IMMEDIATE")


def insert_new(session: Session, row: SQLModel, taken: str) -> None:
    """Insert a row whose key nobody has, also when somebody inserts the same at this moment.

    Raises
    ------
    Conflict
        With the message ``taken``; the session goes on.
    """
    try:
        with session.begin_nested():
            session.add(row)
    except IntegrityError:
        raise Conflict(taken) from None


def reading(engine: Engine) -> Engine:
    """Return the engine for whoever only reads: all that one transaction reads is of one moment."""
    if engine.dialect.name == "postgresql":
        return engine.execution_options(reads_only=True, isolation_level="REPEATABLE READ")
    return engine.execution_options(reads_only=True)


def request_session(request: Request) -> Iterator[Session]:
    """Give a request its one session, and commit it before the answer goes out.

    A reading request, and a dry run, never takes the write lock.
    """
    engine: Engine = request.app.state.engine
    reads_only = request.method in SAFE_METHODS or request.query_params.get("dry_run") == "true"
    with Session(reading(engine) if reads_only else engine, expire_on_commit=False) as session:
        yield session
        if not reads_only:
            session.commit()


@contextmanager
def own_commit(session: Session) -> Iterator[None]:
    """Commit what a block does by itself, or take it back; what the session did before it is committed too.

    For long work: between two blocks nobody waits for this session's locks.
    """
    try:
        yield
        session.commit()
    except BaseException:
        session.rollback()
        raise


# scope="function": the commit happens before the response is sent, so a failing commit is a failing answer.
RequestSession = Annotated[Session, Depends(request_session, scope="function")]
