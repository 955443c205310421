"""Say of each answer who may keep it, what it depends on, and by which tag to ask for it again.

A copy is always checked before it is used again (``no-cache``): a visit may be withdrawn at any time. What
was answered to a key is for its holder alone.

Reference
---------
RFC 9110, sections 8.8.3 (ETag) and 12.5.5 (Vary); RFC 9111, section 5.2.2 (Cache-Control).
"""

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

TAG = "etag"  # where a route leaves the tag of its answer in the request's state
DEPENDS_ON = "Authorization, Accept, Accept-Encoding"


class Keeping:
    """Add ``Vary``, ``Cache-Control`` and the tag that the route has left in ``state``."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        has_key = "authorization" in Headers(scope=scope)
        reads = scope["method"] == "GET"
        state = scope.setdefault("state", {})

        async def told(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                headers.add_vary_header(DEPENDS_ON)
                headers.setdefault("Cache-Control", _who_may_keep(message["status"], reads, has_key))
                if message["status"] in (200, 206) and TAG in state:
                    headers.setdefault("ETag", state[TAG])
            await send(message)

        await self.app(scope, receive, told)


def _who_may_keep(status: int, reads: bool, has_key: bool) -> str:
    if not reads or status not in (200, 206, 304):
        return "no-store"
    return "private, no-cache" if has_key else "no-cache"
