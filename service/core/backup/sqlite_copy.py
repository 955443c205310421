"""Copy a SQLite database while it is in use, as of one moment, and judge the copy.

Copying the file itself is no backup: what the service writes meanwhile tears it, and what stands in the
write-ahead log is missing from it.

Reference
---------
SQLite documentation, "SQLite Backup API": the step-wise copy begins anew whenever another process writes,
unless the reading side holds its transaction open, as it does here.
"""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

from service.core.backup.queries import faults_in, hold_snapshot, keep_in_one_file, migration_of
from service.core.errors import WadebookError
from service.core.progress import show_progress

PAGES_AT_ONCE = 2_000  # 8 MB of pages of 4 KiB: often enough for the eye, seldom enough for the disk
LONGEST_WAIT_S = 60.0


def _show(left: int, of: int) -> None:
    show_progress(f"{of - left} of {of} pages copied", last=left == 0)


def copy_sqlite(
    database: Path,
    copy: Path,
    *,
    pages_at_once: int = PAGES_AT_ONCE,
    tell: Callable[[int, int], None] = _show,
) -> str:
    """Copy a database into an empty file, and return the migration that it stands at.

    Parameters
    ----------
    database : Path
        What to copy; others may go on using it.
    copy : Path
        The empty file.
    pages_at_once : int
        Pages of a step.
    tell : callable
        Is told after each step how many pages are left, and of how many.

    Raises
    ------
    WadebookError
        The database is torn, or holds no tables of ours.
    """
    with (
        closing(_open(database)) as source,
        closing(sqlite3.connect(copy, isolation_level=None)) as target,
    ):
        hold_snapshot(source)
        source.backup(target, pages=pages_at_once, progress=lambda _, left, of: tell(left, of))
        keep_in_one_file(target)
        if faults := faults_in(target):
            raise WadebookError(f"{database} is damaged, so it was not copied: {'; '.join(faults)}.")
        migration = migration_of(target)
    if migration is None:
        raise WadebookError(f"{database} was never migrated, so there is nothing to copy.")
    return migration


def migration_in(database: Path) -> str | None:
    """Return the migration that a database file stands at; ``None`` where it holds no tables of ours."""
    with closing(_open(database)) as connection:
        return migration_of(connection)


def _open(database: Path) -> sqlite3.Connection:
    address = f"{database.absolute().as_uri()}?mode=rw"  # never makes a file that is not there
    return sqlite3.connect(address, uri=True, timeout=LONGEST_WAIT_S, isolation_level=None)
