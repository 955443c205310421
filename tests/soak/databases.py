"""Databases for the long runs: new, at the current schema, and waiting for the disk as in earnest."""

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from service.core.migrate import upgrade
from tests.databases import new_postgres, new_sqlite
from tests.postgres_server import FSYNC_VARIABLE, running_server

KINDS = ("sqlite", "postgresql")


@contextmanager
def new_database(kind: str) -> Iterator[tuple[str, str, Path]]:
    """Give the address of a new database, that of its server (SQLite: none), and a folder for a service."""
    with tempfile.TemporaryDirectory(prefix="wadebook-soak-") as name:
        folder = Path(name)
        if kind == "sqlite":
            url = new_sqlite(folder)
            upgrade(url)
            yield url, "", folder
            return
        os.environ[FSYNC_VARIABLE] = "on"
        with running_server() as server, new_postgres(server) as url:
            upgrade(url)
            yield url, server, folder
