"""Which failure is no fault of the request: a full disk, or a moment at which the database cannot work.

Reference
---------
PostgreSQL manual, appendix A (error codes); SQLite, result code 13 (SQLITE_FULL).
"""

import errno
import sqlite3

from sqlalchemy.exc import DBAPIError, OperationalError
from sqlalchemy.exc import TimeoutError as PoolTimeout

from service.core.causes import with_causes

DISK_FULL = "53100"
NO_ROOM = frozenset({errno.ENOSPC, errno.EDQUOT})  # for a file
CUT_OFF = frozenset({"25P03", "25P04"})  # a transaction that took too long; the driver calls it internal
PRIMARY_CODE = 0xFF  # of a SQLite error; the higher bits say more of it


def is_disk_full(error: Exception) -> bool:
    """Tell whether there is no room to store anything; what is stored can still be read.

    On a full disk SQLite ends the transaction by itself, so that rolling back fails too: the first of the
    errors counts, not the last.
    """
    return any(_says_full(one) for one in with_causes(error))


def is_passing(error: Exception) -> bool:
    """Tell whether the same request may do in a moment: locks, timeouts, a database that is away."""
    if isinstance(error, PoolTimeout | OperationalError):
        return True
    return isinstance(error, DBAPIError) and (error.connection_invalidated or _state(error) in CUT_OFF)


def _says_full(error: BaseException) -> bool:
    if isinstance(error, OSError):
        return error.errno in NO_ROOM
    code = getattr(error, "sqlite_errorcode", 0) & PRIMARY_CODE
    return code == sqlite3.SQLITE_FULL or getattr(error, "sqlstate", None) == DISK_FULL


def _state(error: DBAPIError) -> str | None:
    return getattr(error.orig, "sqlstate", None)
