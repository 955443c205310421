"""Answer people in a page where programs get a problem: at addresses that a browser opens.

What somebody has typed is in the request that was refused, and lost where nobody reads it: so the rest of a
body that a door had not waited for is taken in here, as long as it is no larger than a form.
"""

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import anyio
from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.core.http_errors import PROBLEM_TYPE
from service.core.request_id import request_id

LARGEST_FORM_BYTES = 64 * 1024
PATIENCE_S = 5.0  # for the rest of a body
KEPT = ("retry-after", "ratelimit", "ratelimit-policy", "www-authenticate", "allow", "vary", "connection")


@dataclass(frozen=True, slots=True)
class Refusal:
    """A request that was refused; ``detail`` says why, or is empty where only the status does.

    ``sent`` is its body; empty where it had none, or one larger than any form.
    """

    status: int
    detail: str
    request_id: str
    method: str
    query: str
    sent: bytes


Pages = Mapping[str, Callable[[Refusal], Response]]


class ForPeople:
    """Make a page of every problem at the addresses of ``pages``."""

    def __init__(self, app: ASGIApp, pages: Pages) -> None:
        self.app = app
        self.pages = pages

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request."""
        if scope["type"] != "http" or scope["path"] not in self.pages:
            await self.app(scope, receive, send)
            return
        body, answer = _Body(receive), _Answer(send)
        try:
            await self.app(scope, body.receive, answer.send)
        except Exception:
            # The app answers this outside all doors, where it is logged too; people are answered here.
            if not answer.has_begun:
                await self._refuse(scope, body, answer, 500, "")
            raise
        if answer.problem is not None:
            await self._refuse(scope, body, answer, answer.status, answer.detail)

    async def _refuse(self, scope: Scope, body: "_Body", answer: "_Answer", status: int, detail: str) -> None:
        refusal = Refusal(
            status,
            detail,
            request_id(),
            scope["method"],
            scope["query_string"].decode("latin-1"),
            await body.whole(scope) if scope["method"] == "POST" else b"",
        )
        page = self.pages[scope["path"]](refusal)
        page.headers.update(answer.kept)
        await answer.give(page, has_body=scope["method"] != "HEAD")


class _Body:
    """Passes a body on and keeps it, as far as it is no larger than a form."""

    def __init__(self, receive: Receive) -> None:
        self._receive = receive
        self._parts = bytearray()
        self._is_whole = False

    async def receive(self) -> Message:
        message = await self._receive()
        if message["type"] == "http.request" and not self._is_whole:
            if len(self._parts) <= LARGEST_FORM_BYTES:
                self._parts += message.get("body", b"")
            self._is_whole = not message.get("more_body", False)
        return message

    async def whole(self, scope: Scope) -> bytes:
        """Return the body; nothing of one that is too large, or does not come."""
        told = Headers(scope=scope).get("content-length", "")
        is_small = told.isdigit() and len(told) < 9 and int(told) <= LARGEST_FORM_BYTES
        with anyio.move_on_after(PATIENCE_S):
            while is_small and not self._is_whole:
                if (await self.receive())["type"] == "http.disconnect":
                    break
        return bytes(self._parts) if self._is_whole and len(self._parts) <= LARGEST_FORM_BYTES else b""


class _Answer:
    """Passes an answer on, unless it is a problem: that is kept."""

    def __init__(self, send: Send) -> None:
        self._send = send
        self.has_begun = False
        self.problem: bytearray | None = None
        self.status = 200
        self.kept: dict[str, str] = {}

    @property
    def detail(self) -> str:
        """What the problem says of itself; nothing where only its head came."""
        return str(json.loads(self.problem)["detail"]) if self.problem else ""

    async def send(self, message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = Headers(raw=message["headers"])
            if headers.get("content-type") == PROBLEM_TYPE:
                self.problem, self.status = bytearray(), message["status"]
                self.kept = {name: headers[name] for name in KEPT if name in headers}
                return
            self.has_begun = True
        if self.problem is None:
            await self._send(message)
        else:
            self.problem += message.get("body", b"")

    async def give(self, page: Response, *, has_body: bool) -> None:
        """Send a page in place of the problem."""
        self.problem, self.has_begun = None, True
        headers = MutableHeaders(raw=list(page.raw_headers))
        headers["Cache-Control"] = "no-store"
        await self._send({"type": "http.response.start", "status": page.status_code, "headers": headers.raw})
        await self._send({"type": "http.response.body", "body": bytes(page.body) if has_body else b""})
