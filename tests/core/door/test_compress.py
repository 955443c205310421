"""Compressed answers: only where it is safe and asked for, the same bytes inside, with a tag of their own."""

import zlib
from collections.abc import Iterator

import pytest
from fastapi.responses import Response, StreamingResponse
from starlette.types import ASGIApp, Receive, Scope, Send

from service.core.door.compress import Compress
from tests.api import Api
from tests.core.door.asgi import Answer, ask

TEXT = b'{"reading": 7.25}\n' * 500
TAG = '"abc"'


def app_with(
    body: bytes = TEXT, kind: str = "application/json", status: int = 200, *, parts: int = 0, coding: str = ""
) -> ASGIApp:
    """Return an app that answers with a body, whole or in parts."""

    def cut() -> Iterator[bytes]:
        size = len(body) // parts
        yield from (body[start : start + size] for start in range(0, len(body), size))

    async def app(scope: Scope, receive: Receive, send: Send) -> None:
        headers = {"ETag": TAG} | ({"Content-Encoding": coding} if coding else {})
        headers |= {"Seen": dict(scope["headers"]).get(b"if-none-match", b"").decode()}
        answer = (
            StreamingResponse(cut(), status, headers, media_type=kind)
            if parts
            else Response(body, status, headers, media_type=kind)
        )
        await answer(scope, receive, send)

    return Compress(app)


def raw(answer: Answer) -> bytes:
    return b"".join(one.get("body", b"") for one in answer.messages)


@pytest.mark.parametrize("parts", [0, 1, 7, 400])
@pytest.mark.parametrize("kind", ["application/json", "application/geo+json", "text/csv; charset=utf-8"])
def test_a_large_text_comes_compressed_and_whole(kind: str, parts: int) -> None:
    answer = ask(app_with(kind=kind, parts=parts), "GET", "/", {"Accept-Encoding": "br, gzip"})
    assert answer.headers["content-encoding"] == "gzip"
    assert answer.headers["etag"] == '"abc-gz"'
    assert len(raw(answer)) < len(TEXT) / 10
    assert zlib.decompress(raw(answer), 16 + zlib.MAX_WBITS) == TEXT
    length = answer.headers.get("content-length")
    assert length == (None if parts else str(len(raw(answer))))


def test_the_same_answer_is_compressed_to_the_same_bytes_however_it_comes() -> None:
    made = {
        raw(ask(app_with(parts=parts), "GET", "/", {"Accept-Encoding": "gzip"})) for parts in (0, 3, 50, 50)
    }
    assert len(made) == 1


@pytest.mark.parametrize(
    ("app", "method", "headers"),
    [
        (app_with(), "GET", {}),
        (app_with(), "GET", {"Accept-Encoding": "identity"}),
        (app_with(), "GET", {"Accept-Encoding": "gzip;q=0"}),
        (app_with(), "GET", {"Accept-Encoding": "gzip;q=0.0, br"}),
        (app_with(), "GET", {"Accept-Encoding": "xgzip"}),
        (app_with(), "GET", {"Accept-Encoding": "gzip", "Authorization": "Bearer x"}),
        (app_with(), "GET", {"Accept-Encoding": "gzip", "Range": "bytes=0-9"}),
        (app_with(), "POST", {"Accept-Encoding": "gzip"}),
        (app_with(TEXT[:999]), "GET", {"Accept-Encoding": "gzip"}),
        (app_with(kind="application/vnd.apache.parquet"), "GET", {"Accept-Encoding": "gzip"}),
        (app_with(kind="image/png"), "GET", {"Accept-Encoding": "gzip"}),
        (app_with(status=404), "GET", {"Accept-Encoding": "gzip"}),
        (app_with(coding="br"), "GET", {"Accept-Encoding": "gzip"}),
    ],
)
def test_everything_else_comes_as_it_is(app: ASGIApp, method: str, headers: dict[str, str]) -> None:
    answer = ask(app, method, "/", headers)
    assert answer.headers.get("content-encoding") in (None, "br")
    assert answer.headers["etag"] == TAG
    assert raw(answer) in (TEXT, TEXT[:999])


@pytest.mark.parametrize("accepted", ["gzip", "GZIP", "gzip;q=0.5", "br;q=1.0, gzip;q=0.8, *;q=0.1", "*"])
def test_every_way_to_accept_it_is_understood(accepted: str) -> None:
    # RFC 9110, section 12.5.3, and its examples.
    answer = ask(app_with(), "GET", "/", {"Accept-Encoding": accepted})
    assert answer.headers["content-encoding"] == "gzip"


def test_the_app_sees_its_own_tag_again() -> None:
    headers = {"Accept-Encoding": "gzip", "If-None-Match": '"abc-gz", "other"'}
    assert ask(app_with(), "GET", "/", headers).headers["seen"] == '"abc", "other"'


def test_a_reader_of_a_compressed_list_is_told_that_nothing_has_changed(api: Api) -> None:
    for number in range(5):
        api.post("/v1/sites", {"code": f"ash-{number}", "name": "Ash", "school": "heron"})
    accepted = {"Accept-Encoding": "gzip"}
    packed = api.call("GET", "/v1/sites", headers=accepted)
    assert packed.headers["content-encoding"] == "gzip"
    plain = api.call("GET", "/v1/sites", headers={"Accept-Encoding": "identity"})
    assert packed.json() == plain.json()
    assert packed.headers["etag"] != plain.headers["etag"]
    for first in (packed, plain):
        tag = first.headers["etag"]
        again = api.call("GET", "/v1/sites", headers=accepted | {"If-None-Match": tag})
        assert (again.status_code, again.headers["etag"], again.content) == (304, tag, b"")


def test_an_answer_to_a_key_is_never_compressed(api: Api) -> None:
    answer = api.call("GET", "/v1/sites", "reader", headers={"Accept-Encoding": "gzip"})
    assert answer.status_code == 200
    assert "content-encoding" not in answer.headers
