"""An address and header fields that are too long are refused, whole or endless."""

import socket
import time

import pytest

from service.app import create_app
from service.core.settings import Settings
from tests.core.door.asgi import ask
from tests.served import connected, served, to_the_end


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> object:
    nowhere = tmp_path_factory.mktemp("head") / "never_opened.db"
    return create_app(Settings(database_url=f"sqlite:///{nowhere}"))


@pytest.mark.parametrize(
    ("path", "cookie_bytes", "status"),
    [("/healthz", 64 * 1024 - 14, 200), ("/healthz", 64 * 1024 - 13, 431), ("/" + "x" * 66_000, 1, 431)],
)
def test_a_head_may_have_64_kilobytes(service: object, path: str, cookie_bytes: int, status: int) -> None:
    # The path `/healthz` has 8 bytes, the name `cookie` 6.
    answer = ask(service, "GET", path, {"Cookie": "x" * cookie_bytes})
    assert answer.status == status
    if status == 431:
        assert answer.headers["content-type"] == "application/problem+json"


def send_without_end(connection: socket.socket) -> None:
    for _ in range(1000):
        connection.sendall(b"x" * 10_000)
        time.sleep(0.01)


def test_a_head_of_60_kilobytes_may_come_in_pieces_and_an_endless_one_is_cut_off(service: object) -> None:
    head = b"GET /healthz HTTP/1.1\r\nHost: service\r\nConnection: close\r\nCookie: "
    with served(service) as port:
        with connected(port, head) as connection:
            for _ in range(6):
                connection.sendall(b"x" * 10_000)
                time.sleep(0.01)
            connection.sendall(b"\r\n\r\n")
            assert to_the_end(connection).startswith(b"HTTP/1.1 200")
        with connected(port, head) as connection, pytest.raises(ConnectionError):
            send_without_end(connection)
