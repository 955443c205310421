"""A body is taken in whole before the app begins: not too large, not too slow, and not half."""

from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest
from starlette.requests import Request
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.app import create_app
from service.core.door.whole_body import WholeBody
from service.core.settings import Settings
from service.core.tokens import new_token
from tests.core.door.asgi import GONE, Answer, ask, part
from tests.served import connected, served, to_the_end

LIMIT = 1000
LAST = part(b"", more=False)


class Behind:
    """Keeps the bodies that reached it."""

    def __init__(self) -> None:
        self.bodies: list[bytes] = []

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        self.bodies.append(await Request(scope, receive).body())
        await PlainTextResponse('"here"')(scope, receive, send)


@pytest.fixture
def behind() -> Behind:
    return Behind()


@pytest.fixture
def door(behind: Behind) -> WholeBody:
    return WholeBody(behind, limit_bytes=LIMIT, deadline_s=0.2)


def is_problem(answer: Answer, status: int) -> bool:
    return (answer.status, answer.headers["content-type"]) == (status, "application/problem+json")


@pytest.mark.parametrize("declared", [f"{LIMIT + 1}", "9" * 30, "9" * 5000])
def test_what_is_declared_too_large_is_refused_unread(door: WholeBody, behind: Behind, declared: str) -> None:
    answer = ask(door, "POST", "/", {"Content-Length": declared}, [part(b"x")] * 3)
    assert is_problem(answer, 413)
    assert (answer.taken, behind.bodies) == (0, [])
    assert f"{LIMIT} bytes" in answer.body["detail"]


def test_what_turns_out_too_large_is_read_no_further(door: WholeBody, behind: Behind) -> None:
    answer = ask(door, "POST", "/", {"Transfer-Encoding": "chunked"}, [part(b"x" * 400)] * 10)
    assert is_problem(answer, 413)
    assert (answer.taken, behind.bodies) == (3, [])


@pytest.mark.parametrize("parts", [[b"x" * LIMIT], [b"ab", b"", b"c" * 900, b"\x00\xff"], [b""]])
def test_what_is_not_too_large_arrives_as_it_was_sent(
    door: WholeBody, behind: Behind, parts: list[bytes]
) -> None:
    answer = ask(door, "POST", "/", {}, [*map(part, parts), LAST])
    assert (answer.status, behind.bodies) == (200, [b"".join(parts)])


@pytest.mark.parametrize("parts", [[part(b"half a vis")], [part(b"a"), 0.05] * 20 + [LAST]])
def test_who_is_silent_or_slow_is_told_so_and_nothing_begins(
    door: WholeBody, behind: Behind, parts: list[Message | float]
) -> None:
    answer = ask(door, "POST", "/", {}, parts)
    assert is_problem(answer, 408)
    assert answer.headers["connection"] == "close"
    assert "0.2 seconds" in answer.body["detail"]
    assert behind.bodies == []


def test_of_who_hung_up_nothing_begins(door: WholeBody, behind: Behind) -> None:
    answer = ask(door, "POST", "/", {}, [part(b'{"site": "reed-02"}'), GONE])
    assert (answer.messages, behind.bodies) == ([], [])


@pytest.fixture(scope="module")
def port(tmp_path_factory: pytest.TempPathFactory) -> Iterator[int]:
    """The service with one place, which waits for a body for half a second."""
    url = f"sqlite:///{tmp_path_factory.mktemp('body') / 'never_opened.db'}"
    settings = Settings(database_url=url, receive_timeout_s=0.5, threads=1)
    with served(create_app(settings), settings) as port:
        yield port


def head(length: str) -> bytes:
    key = f"Authorization: Bearer {new_token()}"
    return f"POST /v1/visits HTTP/1.1\r\nHost: service\r\n{key}\r\n{length}\r\n\r\n".encode()


def test_a_slow_sender_is_cut_off_and_takes_nobodys_place(port: int) -> None:
    with connected(port, head("Content-Length: 500") + b"{") as slow:
        asked = httpx.get(f"http://127.0.0.1:{port}/v1/catalogue/kits", timeout=20)
        assert asked.status_code == 200
        assert to_the_end(slow).startswith(b"HTTP/1.1 408")


@pytest.mark.parametrize(
    ("length", "piece"),
    [
        ("Content-Length: 3276800", b"x" * 65536),
        ("Transfer-Encoding: chunked", b"10000\r\n%b\r\n" % (b"x" * 65536)),
    ],
)
def test_who_sends_too_much_reads_why_when_all_is_sent(port: int, length: str, piece: bytes) -> None:
    with connected(port, head(length)) as connection:
        for _ in range(50):
            connection.sendall(piece)
        assert connection.recv(12) == b"HTTP/1.1 413"


def test_the_largest_body_that_is_allowed_comes_through(tmp_path: Path) -> None:
    most = Settings().max_body_bytes
    assert most == 1_048_576
    app: ASGIApp = create_app(Settings(database_url=f"sqlite:///{tmp_path / 'none.db'}"))
    key = {"Authorization": f"Bearer {new_token()}"}
    sent = [part(b"x" * (most - 1)), part(b"x", more=False)]
    assert ask(app, "POST", "/v1/visits", key, sent).status != 413
    assert ask(app, "POST", "/v1/visits", key, [part(b"x"), *sent]).status == 413
