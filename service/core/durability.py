"""Whether the database keeps what was acknowledged, also when the machine loses its power.

Reference
---------
SQLite manual, PRAGMA synchronous and PRAGMA journal_mode; PostgreSQL manual, chapter "Reliability and the
Write-Ahead Log" and section 19.5.1 (fsync, synchronous_commit, full_page_writes).
"""

import logging
import sqlite3

from sqlalchemy import Engine
from sqlalchemy.exc import SQLAlchemyError

from service.core.database import WAL_SAFE_SINCE
from service.core.queries import settings_of

LOG = logging.getLogger("wadebook.durability")

WAITS_FOR_THE_DISK = frozenset({"2", "3"})  # FULL, EXTRA
KEPT_IN_FILES = frozenset({"delete", "truncate", "persist", "wal"})
OFF = {
    "fsync": "a commit does not wait for the disk",
    "synchronous_commit": "a commit is acknowledged before it is on the disk",
    "full_page_writes": "a fall may leave a page half written",
}


def warn_unless_durable(engine: Engine) -> None:
    """Write a warning to the log for each way in which the database may lose what was acknowledged.

    The service runs all the same: a network may try it out on such a database. Where the database does not
    answer nothing is said here, for `/readyz` says it.
    """
    try:
        doubts = _of_sqlite(engine) if engine.dialect.name == "sqlite" else _of_postgresql(engine)
    except SQLAlchemyError:
        return
    for doubt in doubts:
        LOG.warning("what is acknowledged may be lost: %s", doubt)


def _of_sqlite(engine: Engine) -> list[str]:
    found = settings_of(engine, ("synchronous", "foreign_keys", "journal_mode"))
    journal, doubts = found["journal_mode"], []
    if found["synchronous"] not in WAITS_FOR_THE_DISK:
        doubts.append("PRAGMA synchronous is not FULL, a commit does not wait for the disk")
    if found["foreign_keys"] != "1":
        doubts.append("PRAGMA foreign_keys is off, a visit may lose its parts")
    if journal not in KEPT_IN_FILES:
        doubts.append(f"PRAGMA journal_mode is {journal}, a fall may leave a visit half written")
    if journal == "wal" and sqlite3.sqlite_version_info < WAL_SAFE_SINCE:
        doubts.append(
            f"the file keeps a write-ahead log, of which SQLite {sqlite3.sqlite_version} may lose a commit; "
            "stop the service and run PRAGMA journal_mode=DELETE on the file once"
        )
    return doubts


def _of_postgresql(engine: Engine) -> list[str]:
    found = settings_of(engine, list(OFF))
    return [f"{name} is off, {told}; set it to on" for name, told in OFF.items() if found[name] == "off"]
