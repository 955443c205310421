"""Let scripts of any web page read the answers, refusals too, with the header fields that they need.

Every origin is let in, as nothing here goes by cookies: a page sees what its own key shows, or what is
public.

Reference
---------
WHATWG Fetch standard, CORS protocol (CORS-preflight request, CORS-safelisted response-header names): the word
``*`` does not stand for ``Authorization`` among the allowed fields.
"""

from starlette.datastructures import MutableHeaders
from starlette.responses import Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

EXPOSED = (
    "Link",
    "ETag",
    "Location",
    "RateLimit",
    "RateLimit-Policy",
    "Retry-After",
    "X-Request-Id",
    "WWW-Authenticate",
    "Content-Disposition",
    "Content-Range",
    "Content-Rows",
    "Accept-Ranges",
)
SENT = (
    "Accept",
    "Authorization",
    "Content-Type",
    "Idempotency-Key",
    "If-Match",
    "If-None-Match",
    "If-Range",
    "Range",
    "X-Request-Id",
)
LETS_READ = {"Access-Control-Allow-Origin": "*", "Access-Control-Expose-Headers": ", ".join(EXPOSED)}
LETS_ASK = {
    "Access-Control-Allow-Origin": "*",
    "Access-Control-Allow-Methods": "GET, HEAD, POST, PUT, PATCH, DELETE",
    "Access-Control-Allow-Headers": ", ".join(SENT),
    "Access-Control-Max-Age": "86400",
}


class CrossOrigin:
    """Answer what browsers ask before a request of a script, and let the script read every answer."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        if _asks_beforehand(scope):
            await Response(status_code=204, headers=LETS_ASK)(scope, receive, send)
            return

        async def readable(message: Message) -> None:
            if message["type"] == "http.response.start":
                MutableHeaders(scope=message).update(LETS_READ)
            await send(message)

        await self.app(scope, receive, readable)


def _asks_beforehand(scope: Scope) -> bool:
    names = {name for name, _ in scope["headers"]}
    return scope["method"] == "OPTIONS" and {b"origin", b"access-control-request-method"} <= names
