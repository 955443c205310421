"""Write a PostgreSQL database into one file as of one moment, and fill a database from it.

Reference
---------
PostgreSQL documentation, "pg_dump": its dumps are consistent while the database is used, and it blocks no
other user of it.
"""

import os
import re
from pathlib import Path

from psycopg.conninfo import make_conninfo
from sqlalchemy import Engine

from service.core.backup.postgres_programs import output_of, program, run_long
from service.core.backup.queries import VERSION_TABLE, server_major
from service.core.errors import WadebookError

AS_ANYBODY = ("--no-owner", "--no-privileges", "--no-password", "--verbose")


def dump(engine: Engine, file: Path) -> str:
    """Write a database into a file, and return the migration that it stands at.

    Raises
    ------
    WadebookError
        There is no program for it, it failed, or the database holds no tables of ours.
    """
    major = server_major(engine)
    where, secret = connection_words(engine)
    command = [program("pg_dump", major), "--format=custom", *AS_ANYBODY, f"--file={file}"]
    run_long([*command, f"--dbname={where}"], secret)
    output_of([program("pg_restore", major), f"--file={os.devnull}", str(file)])  # reads it to its end
    return migration_in_dump(engine, file)


def fill(engine: Engine, file: Path) -> None:
    """Fill an empty database from a file, all of it or nothing.

    Raises
    ------
    WadebookError
        There is no program for it, or it failed.
    """
    where, secret = connection_words(engine)
    command = [program("pg_restore", server_major(engine)), "--single-transaction", "--exit-on-error"]
    run_long([*command, *AS_ANYBODY, f"--dbname={where}", str(file)], secret)


def migration_in_dump(engine: Engine, file: Path) -> str:
    """Return the migration that a dump stands at.

    Raises
    ------
    WadebookError
        It cannot be read, or holds no tables of ours.
    """
    reader = program("pg_restore", server_major(engine))
    told = output_of([reader, "--data-only", f"--table={VERSION_TABLE}", "--file=-", str(file)])
    row = re.search(rf"^COPY \S*{VERSION_TABLE} .*\n(\w+)$", told, re.MULTILINE)
    if row is None:
        raise WadebookError("No migration is named there: this database was never migrated.")
    return row[1]


def connection_words(engine: Engine) -> tuple[str, dict[str, str]]:
    """Return how the programs find a database, and apart from that the password.

    Everybody on the machine sees the words of a command; the password goes through its environment.
    """
    _, parameters = engine.dialect.create_connect_args(engine.url)
    parameters.pop("context", None)  # is for the driver, not for the server
    password = parameters.pop("password", None)
    return make_conninfo("", **parameters), {} if password is None else {"PGPASSWORD": str(password)}
