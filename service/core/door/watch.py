"""Watch each request from its first byte to the last of its answer: one line in the log, and the metrics."""

import logging
import time

import anyio
from anyio import to_thread
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.core.metrics import AT_WORK, DURATION, REQUESTS

LOG = logging.getLogger("wadebook.access")
NO_ROUTE = "none"  # no such address, or refused at a door
METHODS = frozenset({"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS"})
OTHER_METHOD = "other"  # a caller may invent as many as he likes


class Watch:
    """Log and count each request by the template of its route, never by the address itself.

    What a request has left in ``state.afterwards`` to be done is done when its answer has gone, one after
    the other in a thread of its own.
    """

    def __init__(self, app: ASGIApp) -> None:
        self.app = app
        self._one_thread: anyio.CapacityLimiter | None = None

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        began = time.perf_counter()
        status = 500  # of an answer that never began

        async def noted(message: Message) -> None:
            nonlocal status
            if message["type"] == "http.response.start":
                status = message["status"]
            await send(message)

        AT_WORK.inc()
        try:
            await self.app(scope, receive, noted)
        finally:
            AT_WORK.dec()
            _tell(scope, status, time.perf_counter() - began)
        if self._one_thread is None:  # made here, as it belongs to the running event loop
            self._one_thread = anyio.CapacityLimiter(1)
        for act in scope.get("state", {}).get("afterwards", ()):
            await to_thread.run_sync(act, limiter=self._one_thread)


def _tell(scope: Scope, status: int, took_s: float) -> None:
    method = scope["method"] if scope["method"] in METHODS else OTHER_METHOD
    route = getattr(scope.get("route"), "path", NO_ROUTE)
    REQUESTS.labels(method, route, status).inc()
    DURATION.labels(method, route).observe(took_s)
    fields = {
        "method": method,
        "route": route,
        "status": status,
        "milliseconds": round(1000 * took_s, 1),
        "key_id": scope.get("state", {}).get("key_id"),
    }
    LOG.info("answered", extra={"fields": fields})
