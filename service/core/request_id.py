"""One id for each request: in every log line, in every problem, and in the answer's headers."""

import re
from contextvars import ContextVar

from starlette.datastructures import MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.core.ids import uuid7
from service.core.tokens import is_well_formed

HEADER = "X-Request-Id"
_ACCEPTABLE = re.compile(rb"[A-Za-z0-9._-]{8,64}")
_current: ContextVar[str] = ContextVar("request_id", default="")


def request_id() -> str:
    """Return the id of the request being answered; empty outside one."""
    return _current.get()


class RequestId:
    """Take the caller's ``X-Request-Id`` if it is harmless, else make one, and send it back."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        sent = dict(scope["headers"]).get(HEADER.lower().encode(), b"")
        named_by_caller = sent.decode() if _ACCEPTABLE.fullmatch(sent) else ""
        # A key in the wrong header field is not repeated in logs and answers.
        current = str(uuid7()) if not named_by_caller or is_well_formed(named_by_caller) else named_by_caller
        _current.set(current)

        async def named(message: Message) -> None:
            if message["type"] == "http.response.start":
                MutableHeaders(scope=message)[HEADER] = current
            await send(message)

        await self.app(scope, receive, named)
