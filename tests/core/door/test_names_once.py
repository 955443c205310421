"""A body that names something twice is refused, as nobody can tell which of the two was meant."""

import pytest
from starlette.requests import Request
from starlette.responses import PlainTextResponse
from starlette.types import Receive, Scope, Send

from service.core.door.names_once import NamesOnce
from tests.core.door.asgi import Answer, ask, part


async def echo(scope: Scope, receive: Receive, send: Send) -> None:
    body = await Request(scope, receive).body()
    await PlainTextResponse(b'"' + body.hex().encode() + b'"')(scope, receive, send)


def sent(body: bytes, method: str = "POST") -> Answer:
    return ask(NamesOnce(echo), method, "/", {}, [part(body, more=False)])


# RFC 8259, section 4 (names should be unique), and RFC 6901 for the pointers.
@pytest.mark.parametrize(
    ("body", "pointers"),
    [
        (b'{"site": "reed-01", "site": "reed-02"}', ["/site"]),
        (b'{"a": 1, "a": 1}', ["/a"]),
        (b'{"a": 1, "\\u0061": 2}', ["/a"]),
        (b'{"readings": [{"value": 7}, {"value": 7, "value": 9}]}', ["/readings/1/value"]),
        (b'[{"a/b~c": 1, "a/b~c": 2}]', ["/0/a~1b~0c"]),
        (b'{"a": {"b": 1, "b": 2}, "a": 3, "c": 1, "c": 2}', ["/a", "/c"]),
    ],
)
def test_a_name_that_comes_twice_is_refused_by_its_place(body: bytes, pointers: list[str]) -> None:
    answer = sent(body)
    assert (answer.status, answer.headers["content-type"]) == (422, "application/problem+json")
    assert [error["pointer"] for error in answer.body["errors"]] == pointers
    assert "twice" in answer.body["errors"][0]["message"]


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"\xff\xfe",
        b"{",
        b'{"a": 1, "a": 2',  # no JSON: the app says so
        b"[" * 100_000,
        b'{"n": ' + b"9" * 5000 + b"}",
        b'{"a": {"b": 1}, "b": {"a": 1}, "c": [{"a": 1}, {"a": 1}]}',
    ],
)
def test_any_other_body_arrives_as_it_was_sent(body: bytes) -> None:
    answer = sent(body)
    assert (answer.status, answer.body) == (200, body.hex())


def test_a_reading_request_is_let_through() -> None:
    assert sent(b'{"a": 1, "a": 1}', "GET").status == 200


def test_many_names_are_told_apart_in_good_time() -> None:
    # Comparing each with each would take minutes.
    names = b",".join(b'"n%d": 1' % number for number in range(30_000))
    answer = sent(b"{" + names + b", " + names + b"}")
    assert (answer.status, len(answer.body["errors"])) == (422, 100)
