"""Ask for the key before the body: whoever brings none that could be one need not send the rest."""

from starlette.types import ASGIApp, Receive, Scope, Send

from service.core.http_errors import problem
from service.core.tokens import is_well_formed

WRITING = frozenset({"POST", "PUT", "PATCH", "DELETE"})
CHALLENGE = {"WWW-Authenticate": "Bearer"}


class KeyFirst:
    """Answer 401 to a writing request without a key, or with one that is not whole."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request."""
        if scope["type"] == "http" and scope["method"] in WRITING and scope["path"].startswith("/v1/"):
            sent = bearer_token(scope)
            if sent is None:
                told = "A key is needed: `Authorization: Bearer wb_…`."
            elif not is_well_formed(sent):
                told = "This key is not known here; check that it was copied whole."
            else:
                told = ""
            if told:
                await problem(401, told, headers=CHALLENGE)(scope, receive, send)
                return
        await self.app(scope, receive, send)


def bearer_token(scope: Scope) -> str | None:
    """Return the key that a request carries, or ``None``; of several the first, as the app reads them."""
    sent: bytes = next((value for name, value in scope["headers"] if name == b"authorization"), b"")
    scheme, _, token = sent.decode("latin-1").partition(" ")
    return token.strip() or None if scheme.lower() == "bearer" else None
