"""Give a part of an answer to whoever asks for one: readers look into a file without taking all of it.

Only of answers that were made whole before they go out, and whose bytes a strong tag names: they have a
length, and the parts of two answers with one tag fit together. Whoever asks for several parts at once gets
the whole, as the standard allows.

Reference
---------
RFC 9110, sections 13.1.5 (If-Range), 14.1.2 (byte ranges), 14.2 (Range) and 15.5.17 (416).
"""

import re

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.core.door.keeping import TAG
from service.core.http_errors import problem

_ONE_RANGE = re.compile(r"\s*bytes\s*=\s*(\d{0,18})-(\d{0,18})\s*", re.IGNORECASE | re.ASCII)


class Ranges:
    """Answer 206 with a part, 416 where there is no such part, and say where parts are given."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request."""
        if scope["type"] != "http" or scope["method"] != "GET":
            await self.app(scope, receive, send)
            return
        await self.app(scope, receive, _Cutter(scope, receive, send).send)


class _Cutter:
    """Let through of an answer what lies in the range that was asked for."""

    def __init__(self, scope: Scope, receive: Receive, send: Send) -> None:
        self._scope, self._receive, self._send = scope, receive, send
        self._asked = Headers(scope=scope)
        self._wanted: range | None = None
        self._passed = 0

    async def send(self, message: Message) -> None:
        if message["type"] == "http.response.start":
            await self._begin(message)
        elif self._wanted is None:
            await self._send(message)
        elif self._wanted:
            message["body"] = self._cut(message.get("body", b""))
            await self._send(message)

    async def _begin(self, message: Message) -> None:
        headers = MutableHeaders(scope=message)
        tag = headers.get("etag") or self._scope.get("state", {}).get(TAG, "")
        if message["status"] != 200 or "content-length" not in headers or not tag.startswith('"'):
            await self._send(message)
            return
        headers["Accept-Ranges"] = "bytes"
        length = int(headers["content-length"])
        if self._asked.get("if-range", tag).strip() == tag:
            self._wanted = wanted_part(self._asked.get("range", ""), length)
        if self._wanted is None:
            await self._send(message)
        elif self._wanted:
            headers["Content-Range"] = f"bytes {self._wanted.start}-{self._wanted.stop - 1}/{length}"
            headers["Content-Length"] = str(len(self._wanted))
            message["status"] = 206
            await self._send(message)
        else:
            told = f"The file has {length} bytes; there is no such part of it."
            where = {"Content-Range": f"bytes */{length}", "Accept-Ranges": "bytes"}
            await problem(416, told, headers=where)(self._scope, self._receive, self._send)

    def _cut(self, body: bytes) -> bytes:
        assert self._wanted is not None
        start, self._passed = self._passed, self._passed + len(body)
        return body[max(0, self._wanted.start - start) : max(0, self._wanted.stop - start)]


def wanted_part(header: str, length: int) -> range | None:
    """Return the bytes that a `Range` header names of so many; ``None``: the whole; empty: there are none."""
    found = _ONE_RANGE.fullmatch(header)
    if found is None or found.groups() == ("", ""):
        return None
    first, last = found.groups()
    if not first:
        return range(max(0, length - int(last)), length)
    if last and int(last) < int(first):
        return None
    return range(int(first), min(length, int(last) + 1 if last else length))
