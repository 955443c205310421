"""Parts of an answer (RFC 9110, section 14): which, of what, and when the whole comes instead."""

from collections.abc import Iterator

import pytest
from fastapi.responses import Response, StreamingResponse
from starlette.types import ASGIApp, Receive, Scope, Send

from service.core.door.ranges import Ranges, wanted_part
from tests.core.door.asgi import Answer, ask

BODY = bytes(range(256)) * 4
TAG = '"abc"'


def app_with(*, tag: str = TAG, status: int = 200, parts: int = 0, length: bool = True) -> ASGIApp:
    """Return an app that answers with a body, whole or in parts."""

    def cut() -> Iterator[bytes]:
        size = len(BODY) // parts
        yield from (BODY[start : start + size] for start in range(0, len(BODY), size))

    async def app(scope: Scope, receive: Receive, send: Send) -> None:
        headers = {"ETag": tag} if tag else {}
        if parts:
            headers |= {"Content-Length": str(len(BODY))} if length else {}
            await StreamingResponse(cut(), status, headers)(scope, receive, send)
        else:
            await Response(BODY, status, headers)(scope, receive, send)

    return Ranges(app)


def raw(answer: Answer) -> bytes:
    return b"".join(one.get("body", b"") for one in answer.messages)


# RFC 9110, section 14.1.2, with its examples of 10,000 bytes; 14.2: what is no valid range is passed over.
@pytest.mark.parametrize(
    ("header", "length", "part"),
    [
        ("bytes=0-499", 10_000, range(0, 500)),
        ("bytes=500-999", 10_000, range(500, 1000)),
        ("bytes=-500", 10_000, range(9500, 10_000)),
        ("bytes=9500-", 10_000, range(9500, 10_000)),
        ("BYTES = 0-0", 10_000, range(0, 1)),
        ("bytes=9999-20000", 10_000, range(9999, 10_000)),
        ("bytes=-262144", 15_000, range(0, 15_000)),  # longer than the file: all of it
        ("bytes=10000-", 10_000, range(0)),
        ("bytes=-0", 10_000, range(0)),
        ("bytes=0-0,-1", 10_000, None),
        ("bytes=5-4", 10_000, None),
        ("bytes=-", 10_000, None),
        ("bytes=a-b", 10_000, None),
        ("bytes=\u0661-\u0662", 10_000, None),
        ("lines=0-5", 10_000, None),
        ("bytes=0-" + "9" * 5000, 10_000, None),
        ("", 10_000, None),
    ],
)
def test_which_part_a_header_names(header: str, length: int, part: range | None) -> None:
    found = wanted_part(header, length)
    assert (found is None, list(found or ())) == (part is None, list(part or ()))


@pytest.mark.parametrize("parts", [0, 1, 3, 64])
@pytest.mark.parametrize("header", ["bytes=0-0", "bytes=300-700", "bytes=-5", "bytes=1000-", "bytes=-9999"])
def test_a_part_is_that_part_of_the_whole(header: str, parts: int) -> None:
    answer = ask(app_with(parts=parts), "GET", "/", {"Range": header})
    part = wanted_part(header, len(BODY))
    assert part is not None
    assert (answer.status, raw(answer)) == (206, BODY[part.start : part.stop])
    assert answer.headers["content-range"] == f"bytes {part.start}-{part.stop - 1}/{len(BODY)}"
    assert answer.headers["content-length"] == str(len(part))
    assert answer.headers["etag"] == TAG


def test_a_part_that_is_not_there_is_a_416_that_tells_the_length() -> None:
    answer = ask(app_with(parts=4), "GET", "/", {"Range": f"bytes={len(BODY)}-"})
    assert (answer.status, answer.headers["content-range"]) == (416, f"bytes */{len(BODY)}")
    assert answer.headers["content-type"] == "application/problem+json"
    assert str(len(BODY)) in answer.body["detail"]


@pytest.mark.parametrize(("tag", "status"), [(TAG, 206), ('"old"', 200), (f"W/{TAG}", 200), ("Thu", 200)])
def test_if_range_gives_the_whole_where_the_part_would_not_fit(tag: str, status: int) -> None:
    answer = ask(app_with(), "GET", "/", {"Range": "bytes=0-9", "If-Range": tag})
    assert (answer.status, len(raw(answer))) == (status, 10 if status == 206 else len(BODY))


@pytest.mark.parametrize(
    ("app", "method"),
    [
        (app_with(tag=f"W/{TAG}"), "GET"),  # parts of two weakly equal files may not fit together
        (app_with(tag=""), "GET"),
        (app_with(status=404), "GET"),
        (app_with(parts=3, length=False), "GET"),
        (app_with(), "POST"),
    ],
)
def test_of_what_has_no_known_bytes_the_whole_comes(app: ASGIApp, method: str) -> None:
    answer = ask(app, method, "/", {"Range": "bytes=0-9"})
    assert answer.status in (200, 404)
    assert raw(answer) == BODY
    assert "accept-ranges" not in answer.headers


def test_that_parts_are_given_is_said_with_the_whole() -> None:
    answer = ask(app_with(), "GET", "/")
    assert (answer.status, answer.headers["accept-ranges"], raw(answer)) == (200, "bytes", BODY)
