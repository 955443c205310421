"""A connection that nobody uses is closed, also where half a request stands in it."""

from asyncio import TimerHandle, Transport

import h11
from uvicorn.protocols.http.h11_impl import H11Protocol


class PromptConnection(H11Protocol):
    """Uvicorn's connection with an end to its patience.

    Uvicorn waits for ever for the first request, for the rest of a head, and for the rest of a body that was
    refused. Here each must be whole within the time that an idle connection is kept (``timeout_keep_alive``).
    """

    _due: TimerHandle | None = None

    def connection_made(self, transport: Transport) -> None:  # type: ignore[override]
        """Begin to wait for the first request."""
        super().connection_made(transport)
        self._mind()

    def data_received(self, data: bytes) -> None:
        """Take in what came, and mind what is still to come."""
        super().data_received(data)
        self._mind()

    def connection_lost(self, exc: Exception | None) -> None:
        """Stop waiting."""
        super().connection_lost(exc)
        self._stop_waiting()

    def _mind(self) -> None:
        head_is_awaited = self.conn.their_state is h11.IDLE
        rest_is_awaited = self.conn.their_state is h11.SEND_BODY and self.conn.our_state is h11.DONE
        if not (head_is_awaited or rest_is_awaited):
            self._stop_waiting()
        elif self._due is None:
            self._due = self.loop.call_later(self.timeout_keep_alive, self.transport.close)

    def _stop_waiting(self) -> None:
        if self._due is not None:
            self._due.cancel()
            self._due = None
