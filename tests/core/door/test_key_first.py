"""Whoever brings no key is told so before he has sent a byte of the body."""

from pathlib import Path

import pytest
from starlette.types import ASGIApp

from service.app import create_app
from service.core.settings import Settings
from service.core.tokens import new_token
from tests.core.door.asgi import ask, part
from tests.served import connected, served

MANGLED = "wb_" + "a" * 48 + "!"  # as long as a key, and none
LARGE = [part(b"x" * 65536)] * 10
HEAD = b"POST /v1/visits HTTP/1.1\r\nHost: service\r\nContent-Length: 900000\r\nExpect: 100-continue\r\n"


@pytest.fixture
def service(tmp_path: Path) -> ASGIApp:
    return create_app(Settings(database_url=f"sqlite:///{tmp_path / 'never_opened.db'}"))


@pytest.mark.parametrize("method", ["POST", "PUT", "PATCH", "DELETE"])
@pytest.mark.parametrize("sent", [None, "Basic aGVyb246eA==", "Bearer", f"Bearer {MANGLED}", "Bearer \xe9"])
def test_without_a_whole_key_no_part_of_the_body_is_taken(
    service: ASGIApp, method: str, sent: str | None
) -> None:
    answer = ask(service, method, "/v1/visits", {"Authorization": sent} if sent else {}, LARGE)
    assert (answer.status, answer.taken) == (401, 0)
    assert answer.headers["www-authenticate"] == "Bearer"
    assert answer.headers["content-type"] == "application/problem+json"
    assert answer.headers["x-request-id"] == answer.body["request_id"] != ""


def test_with_a_key_that_could_be_one_the_body_is_taken(service: ASGIApp) -> None:
    answer = ask(
        service,
        "POST",
        "/v1/visits",
        {"Authorization": f"Bearer {new_token()}"},
        [*LARGE, part(b"", more=False)],
    )
    assert answer.taken > len(LARGE)


def test_over_a_socket_the_body_is_not_even_asked_for(service: ASGIApp) -> None:
    # RFC 9110, section 10.1.1: a client that expects it waits for 100 before it sends the body.
    key = f"Authorization: Bearer {new_token()}\r\n\r\n".encode()
    with served(service) as port:
        with connected(port, HEAD + b"\r\n") as connection:
            assert connection.recv(12) == b"HTTP/1.1 401"
        with connected(port, HEAD + key) as connection:
            assert connection.recv(12) == b"HTTP/1.1 100"


def test_who_sends_the_body_all_the_same_still_reads_why(service: ASGIApp) -> None:
    head = b"POST /v1/visits HTTP/1.1\r\nHost: service\r\nContent-Length: 2000000\r\n\r\n"
    with served(service) as port, connected(port, head) as connection:
        connection.sendall(b"x" * 2_000_000)
        assert connection.recv(12) == b"HTTP/1.1 401"
