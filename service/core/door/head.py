"""Answer HEAD wherever GET is answered: the same header fields, and no body.

Reference
---------
RFC 9110, sections 9.3.2 and 14.2.
"""

from starlette.requests import ClientDisconnect
from starlette.types import ASGIApp, Message, Receive, Scope, Send


class SeenEnough(Exception):
    """The header fields have gone out; an answer that is still being written may stop."""


class Head:
    """Show the app a GET, and stop it when its header fields are there."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request."""
        if scope["type"] != "http" or scope["method"] != "HEAD":
            await self.app(scope, receive, send)
            return
        scope.setdefault("state", {})  # shared, so that the doors outside find what the app left there
        # A copy: the server must go on to see HEAD. Parts are there for GET alone (section 14.2).
        headers = [(name, value) for name, value in scope["headers"] if name != b"range"]
        shown = {**scope, "method": "GET", "headers": headers}
        try:
            await self.app(shown, receive, _without_body(send))
        except (SeenEnough, ClientDisconnect):
            pass
        finally:
            scope.setdefault("route", shown.get("route"))


def _without_body(send: Send) -> Send:
    ended = False

    async def send_head(message: Message) -> None:
        nonlocal ended
        if message["type"] == "http.response.start":
            await send(message)
        elif not ended:
            ended = True
            await send({"type": "http.response.body", "body": b"", "more_body": False})
        if message.get("more_body"):
            raise SeenEnough

    return send_head
