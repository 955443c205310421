"""The service behind a real socket: in a thread of the test, or as the operator starts it."""

import json
import os
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import uvicorn
from starlette.types import ASGIApp

from service.core.settings import Settings
from service.serve import how_to_serve

HERE = "127.0.0.1"
WADEBOOK = "import sys; from service.cli import main; sys.exit(main())"


@contextmanager
def served(app: ASGIApp, settings: Settings | None = None, **more: Any) -> Iterator[int]:
    """Serve an app with the settings of `wadebook serve` on a free port, and give the port."""
    config = uvicorn.Config(app, **how_to_serve(settings or Settings()) | more)
    server = uvicorn.Server(config)
    with socket.create_server((HERE, 0)) as listening:
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
        thread.start()
        while not server.started and thread.is_alive():
            time.sleep(0.01)
        try:
            yield listening.getsockname()[1]
        finally:
            server.should_exit = True
            thread.join()


@contextmanager
def connected(port: int, first: bytes) -> Iterator[socket.socket]:
    """Open a connection and send the first bytes."""
    with socket.create_connection((HERE, port), timeout=20) as connection:
        connection.sendall(first)
        yield connection


def to_the_end(connection: socket.socket) -> bytes:
    """Read what is answered until the service closes the connection."""
    answer = b""
    while part := connection.recv(65536):
        answer += part
    return answer


@dataclass
class Service:
    """`wadebook serve` as a process of its own."""

    process: subprocess.Popen[bytes]
    log: Path
    url: str = ""

    def lines(self) -> list[dict[str, Any]]:
        return [json.loads(line) for line in self.log.read_text("utf-8").splitlines()]


@contextmanager
def wadebook_serve(folder: Path, **settings: str) -> Iterator[Service]:
    """Start `wadebook serve` on a free port, with these ``WADEBOOK_…`` settings; stop it at the end."""
    log = folder / "service.log"
    usual = {name: value for name, value in os.environ.items() if not name.startswith("WADEBOOK_")}
    given = {f"WADEBOOK_{name.upper()}": value for name, value in (settings | {"port": "0"}).items()}
    with log.open("wb") as errors:
        process = subprocess.Popen(
            [sys.executable, "-c", WADEBOOK, "serve"],
            env=usual | given | {"TMPDIR": str(folder), "PYTHONPATH": str(Path(__file__).parents[1])},
            stderr=errors,
        )
    service = Service(process, log)
    try:
        service.url = _where_it_listens(service)
        yield service
    finally:
        process.terminate()
        process.wait(60)


def within_one_minute() -> None:
    """Wait for the next minute where this one is about to end: counts of requests begin anew with each."""
    while time.time() % 60 > 56:
        time.sleep(0.2)


def _where_it_listens(service: Service) -> str:
    for _ in range(1200):
        said = service.log.read_text("utf-8")
        started = said.count("Application startup complete.") >= 1
        if started and (found := said.partition("running on ")[2]):
            return found.split()[0]
        assert service.process.poll() is None, said
        time.sleep(0.05)
    raise AssertionError(service.log.read_text("utf-8"))
