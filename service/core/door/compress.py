"""Send large public texts compressed to whoever takes them so.

Never where a key was sent: the size of a compressed answer tells about what stands in it beside what a
stranger wrote. Never in part either: a range counts the bytes of what is stored. A compressed answer has a
tag of its own.

Reference
---------
RFC 9110, sections 8.4.1.3 (gzip), 8.8.3.3 (tags of differently coded answers), 12.5.3 (Accept-Encoding).
"""

import re
import zlib
from typing import Any

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

SMALLEST_BYTES = 1000  # below, the answer fits a packet anyway
GZIP = 16 + zlib.MAX_WBITS
LEVEL = 5
MARK = "-gz"
CONDITIONS = (b"if-none-match", b"if-match")
_TEXT = re.compile(r"text/|application/([a-z.]+\+)?(json|javascript|x-ndjson|ndjson|json-seq)\b|image/svg")
_TAKES = re.compile(r"(?:^|,)\s*(?:gzip|\*)\s*(?:;\s*q\s*=\s*([0-9.]+))?\s*(?=,|$)", re.IGNORECASE)


class Compress:
    """Compress answers to GET where it is safe, and know their tags again."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        held = f'{MARK}"' in headers.get("if-none-match", "")
        is_safe = "authorization" not in headers and "range" not in headers and scope["method"] == "GET"
        scope["headers"] = [
            (name, value.replace(f'{MARK}"'.encode(), b'"') if name in CONDITIONS else value)
            for name, value in scope["headers"]
        ]
        if is_safe and _takes_gzip(headers.get("accept-encoding", "")):
            send = _Packer(send, held).send
        await self.app(scope, receive, send)


class _Packer:
    """Hold the head of an answer back until its first part tells whether it is worth packing."""

    def __init__(self, send: Send, held: bool) -> None:
        self._send = send
        self._held = held
        self._head: Message = {}
        self._gzip: Any = None

    async def send(self, message: Message) -> None:
        if message["type"] == "http.response.start":
            self._head = message
            return
        if message["type"] != "http.response.body":
            await self._send(message)
            return
        body, more = message.get("body", b""), message.get("more_body", False)
        if self._head:
            self._decide(len(body), more)
        if self._gzip is not None:
            body = self._gzip.compress(body) + (b"" if more else self._gzip.flush())
        if self._head:
            if self._gzip is not None and not more:
                MutableHeaders(scope=self._head)["Content-Length"] = str(len(body))
            await self._send(self._head)
            self._head = {}
        await self._send({"type": "http.response.body", "body": body, "more_body": more})

    def _decide(self, first_bytes: int, more: bool) -> None:
        headers = MutableHeaders(scope=self._head)
        is_worth_it = (
            self._head["status"] == 200
            and (more or first_bytes >= SMALLEST_BYTES)
            and "content-encoding" not in headers
            and _TEXT.match(headers.get("content-type", "")) is not None
        )
        if is_worth_it:
            self._gzip = zlib.compressobj(LEVEL, zlib.DEFLATED, GZIP)
            headers["Content-Encoding"] = "gzip"
            del headers["Content-Length"]
            del headers["Accept-Ranges"]
        if "etag" in headers and (is_worth_it or (self._held and self._head["status"] == 304)):
            headers["ETag"] = headers["ETag"].removesuffix('"') + f'{MARK}"'


def _takes_gzip(accepted: str) -> bool:
    found = _TAKES.search(accepted)
    if found is None:
        return False
    try:
        return float(found[1] or 1) > 0
    except ValueError:
        return False
