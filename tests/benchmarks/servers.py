"""Servers on this machine for one benchmark, one worker each: the service, and the least a server can do."""

import os
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from http.client import HTTPConnection, HTTPException
from pathlib import Path

from service.core.migrate import upgrade
from service.core.settings import PREFIX
from tests.databases import new_postgres, new_sqlite
from tests.postgres_server import FSYNC_VARIABLE, running_server

PROJECT = Path(__file__).resolve().parents[2]
HOST = "127.0.0.1"
SAID_LINES, ANSWERED_WELL = 60, 'HTTP/1.1" 20'  # the last words of a server, shown when a benchmark fails
DATABASES = ("sqlite", "postgresql")
SERVE = ("-c", "import sys; from service.cli import main; sys.exit(main(['serve']))")


@contextmanager
def migrated_database(kind: str) -> Iterator[str]:
    """Give the address of a new database at the current schema that waits for the disk at every commit."""
    if kind == "sqlite":
        with tempfile.TemporaryDirectory(prefix="wadebook-bench-") as folder:
            url = new_sqlite(Path(folder))
            upgrade(url)
            yield url
        return
    os.environ[FSYNC_VARIABLE] = "on"
    with running_server() as server, new_postgres(server) as url:
        upgrade(url)
        yield url


@contextmanager
def wadebook(database_url: str, **more: str) -> Iterator[int]:
    """Run `wadebook serve` as a network would, with more settings by name, and give its port."""
    port = _free_port()
    settings = {f"{PREFIX}DATABASE_URL": database_url, f"{PREFIX}HOST": HOST, f"{PREFIX}PORT": str(port)}
    settings |= {f"{PREFIX}{name.upper()}": value for name, value in more.items()}
    with _running(SERVE, settings, port):
        yield port


@contextmanager
def ignoring_server() -> Iterator[int]:
    """Run a server that reads a body and ignores it, under the same web server, and give its port."""
    port = _free_port()
    with _running(("-m", "tests.benchmarks.ignoring_app", HOST, str(port)), {}, port):
        yield port


@contextmanager
def same_bytes_server(content: bytes) -> Iterator[int]:
    """Run a server that sends these bytes to whoever asks, under the same web server, and give its port."""
    port = _free_port()
    with tempfile.NamedTemporaryFile() as file:
        file.write(content)
        file.flush()
        with _running(("-m", "tests.benchmarks.same_bytes_app", HOST, str(port), file.name), {}, port):
            yield port


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind((HOST, 0))
        return int(probe.getsockname()[1])


@contextmanager
def _running(arguments: Sequence[str], settings: dict[str, str], port: int) -> Iterator[None]:
    environment = {name: value for name, value in os.environ.items() if not name.startswith(PREFIX)}
    with tempfile.TemporaryFile() as said:
        server = subprocess.Popen(
            [sys.executable, *arguments],
            cwd=PROJECT,
            env=environment | settings,
            stdout=said,
            stderr=subprocess.STDOUT,
        )
        try:
            if not _answers(server, port):
                raise RuntimeError("the server did not start")
            yield
        except Exception:
            said.seek(0)
            lines = [line for line in said.read().decode().splitlines() if ANSWERED_WELL not in line]
            print(*lines[-SAID_LINES:], sep="\n", file=sys.stderr)
            raise
        finally:
            server.terminate()
            try:
                server.wait(15)
            except subprocess.TimeoutExpired:
                server.kill()
                server.wait()


def _answers(server: "subprocess.Popen[bytes]", port: int, patience_s: float = 60) -> bool:
    until = time.monotonic() + patience_s
    while server.poll() is None and time.monotonic() < until:
        connection = HTTPConnection(HOST, port, timeout=5)
        try:
            connection.request("GET", "/healthz")
            if connection.getresponse().status == 200:
                return True
        except (OSError, HTTPException):
            time.sleep(0.2)
        finally:
            connection.close()
    return False
