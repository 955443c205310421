"""A connection on which nothing more comes is closed, wherever it stopped."""

import asyncio

import pytest
from starlette.responses import PlainTextResponse
from starlette.types import Receive, Scope, Send

from tests.served import connected, served, to_the_end

PATIENCE_S = 0.3


async def app(scope: Scope, receive: Receive, send: Send) -> None:
    """Answer without reading the body, at `/slow` after twice the time that an idle connection has."""
    if scope["path"] == "/slow":
        await asyncio.sleep(2 * PATIENCE_S)
    await PlainTextResponse("here")(scope, receive, send)


def request(path: str = "/") -> bytes:
    return f"GET {path} HTTP/1.1\r\nHost: service\r\n\r\n".encode()


HALF = b"GET / HT"
REFUSED = b"POST / HTTP/1.1\r\nHost: service\r\nContent-Length: 500\r\n\r\n12345"


@pytest.mark.parametrize(
    ("sent", "after_the_answer", "answers"),
    [
        (b"", b"", 0),
        (HALF, b"", 0),
        (request(), b"", 1),
        (request(), HALF, 1),
        (REFUSED, b"67", 1),
        (request("/slow"), b"", 1),
    ],
    ids=["nothing", "half a head", "a request", "a request and a half", "half a refused body", "slow work"],
)
def test_it_is_closed_when_nothing_more_comes(sent: bytes, after_the_answer: bytes, answers: int) -> None:
    with (
        served(app, timeout_keep_alive=PATIENCE_S, lifespan="off") as port,
        connected(port, sent) as connection,
    ):
        answered = b""
        if answers:
            answered = connection.recv(65536)
            connection.sendall(after_the_answer)
        assert (answered + to_the_end(connection)).count(b"HTTP/1.1 200") == answers


def test_a_request_that_comes_in_pieces_is_answered_and_the_connection_kept() -> None:
    whole = request()
    with served(app, timeout_keep_alive=5, lifespan="off") as port, connected(port, whole[:9]) as connection:
        for _ in range(3):
            connection.sendall(whole[9:] + whole[:9])
            assert connection.recv(12) == b"HTTP/1.1 200"
            while b"here" not in connection.recv(65536):
                pass
