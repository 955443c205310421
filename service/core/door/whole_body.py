"""Refuse a body that is larger than the network allows, whether it says so or just keeps coming."""

from starlette.exceptions import HTTPException
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.core.http_errors import problem


class BodyLimit:
    """Answer 413 as a problem before the app has read more than ``limit_bytes``."""

    def __init__(self, app: ASGIApp, limit_bytes: int) -> None:
        self.app = app
        self.limit_bytes = limit_bytes

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        told = f"The body is larger than {self.limit_bytes} bytes; send one visit at a time."
        declared = dict(scope["headers"]).get(b"content-length", b"0")
        if declared.isdigit() and int(declared) > self.limit_bytes:
            await problem(413, told, headers={"Connection": "close"})(scope, receive, send)
            return
        seen = 0

        async def counted() -> Message:
            nonlocal seen
            message = await receive()
            seen += len(message.get("body", b""))
            if seen > self.limit_bytes:
                raise HTTPException(413, told, headers={"Connection": "close"})
            return message

        await self.app(scope, counted, send)
