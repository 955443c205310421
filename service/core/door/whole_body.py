"""Take in a body whole before anything else begins: not larger and not slower than the network allows.

A caller who sends a byte a second then keeps nobody else waiting: no thread, no connection and no place among
those that are let in.
"""

import anyio
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.core.http_errors import problem

CLOSE = {"Connection": "close"}
LONGEST_NUMBER = 18  # digits of a length that is worth reading


class TooLarge(Exception):
    """The body is larger than the limit."""


class Gone(Exception):
    """The caller hung up before the body was whole."""


class WholeBody:
    """Answer 413 beyond ``limit_bytes``, 408 where the body has not come within ``deadline_s`` [s]."""

    def __init__(self, app: ASGIApp, limit_bytes: int, deadline_s: float) -> None:
        self.app = app
        self.limit_bytes = limit_bytes
        self.deadline_s = deadline_s

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        declared = dict(scope["headers"]).get(b"content-length", b"0")
        try:
            if declared.isdigit() and (len(declared) > LONGEST_NUMBER or int(declared) > self.limit_bytes):
                raise TooLarge
            with anyio.fail_after(self.deadline_s):
                body = await self._read(receive)
        except TooLarge:
            told = f"The body is larger than {self.limit_bytes} bytes; send one visit at a time."
            # The connection stays: closing it on a body that still comes would cut the answer off too.
            await problem(413, told)(scope, receive, send)
        except TimeoutError:
            told = f"The body did not come within {self.deadline_s:g} seconds; nothing was stored."
            await problem(408, told, headers=CLOSE)(scope, receive, send)
        except Gone:
            return
        else:
            await self.app(scope, _again(body, receive), send)

    async def _read(self, receive: Receive) -> bytes:
        body = bytearray()
        more = True
        while more:
            message = await receive()
            if message["type"] == "http.disconnect":
                raise Gone
            body += message.get("body", b"")
            if len(body) > self.limit_bytes:
                raise TooLarge
            more = message.get("more_body", False)
        return bytes(body)


def _again(body: bytes, receive: Receive) -> Receive:
    """Return a ``receive`` that gives the body that was read, then what comes after it."""
    given = False

    async def receive_again() -> Message:
        nonlocal given
        if given:
            return await receive()
        given = True
        return {"type": "http.request", "body": body, "more_body": False}

    return receive_again
