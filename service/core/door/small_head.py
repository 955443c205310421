"""Refuse a request whose address and header fields are longer than any honest one."""

from starlette.types import ASGIApp, Receive, Scope, Send

from service.core.http_errors import problem

LARGEST_HEAD_BYTES = 64 * 1024


class SmallHead:
    """Answer 431 beyond ``LARGEST_HEAD_BYTES``; the server bounds a head only while it is not whole."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request."""
        if scope["type"] == "http" and _head_bytes(scope) > LARGEST_HEAD_BYTES:
            told = f"The address and the header fields are longer than {LARGEST_HEAD_BYTES} bytes together."
            await problem(431, told)(scope, receive, send)
            return
        await self.app(scope, receive, send)


def _head_bytes(scope: Scope) -> int:
    fields = sum(len(name) + len(value) for name, value in scope["headers"])
    return fields + len(scope["path"]) + len(scope["query_string"])
