"""Let in no more requests at a time than there are database connections; the others wait outside.

A request takes a thread for each of its steps and keeps its connection in between. Were more let in than
there are connections, those that wait for one would hold the threads that the others need to go on.
"""

import anyio
from starlette.types import ASGIApp, Receive, Scope, Send

from service.core.http_errors import problem

ALIVE = "/healthz"  # takes no connection, and must answer when all places are taken


class Admission:
    """Hold back requests beyond ``places``; answer 503 where one has waited ``patience_s`` [s]."""

    def __init__(self, app: ASGIApp, places: int, patience_s: float) -> None:
        self.app = app
        self.places = places
        self.patience_s = patience_s
        self._turnstile: anyio.Semaphore | None = None

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request when its turn comes."""
        if scope["type"] != "http" or scope["path"] == ALIVE:
            await self.app(scope, receive, send)
            return
        if self._turnstile is None:  # made here, as it belongs to the running event loop
            self._turnstile = anyio.Semaphore(self.places)
        turnstile = self._turnstile
        with anyio.move_on_after(self.patience_s) as waiting:
            await turnstile.acquire()
        if waiting.cancelled_caught:
            told = "There is too much to do just now; nothing was stored. Send the same again in a moment."
            await problem(503, told, headers={"Retry-After": "5"})(scope, receive, send)
            return
        try:
            await self.app(scope, receive, send)
        finally:
            turnstile.release()
