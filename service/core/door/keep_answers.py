"""Keep what a route has answered under the tag that stands for it, see ``service/core/answers_kept.py``."""

from collections.abc import Sequence

from starlette.datastructures import Headers
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.core.answers_kept import AnswersKept, KeptAnswer

KEPT_AS = "kept_as"  # where the tag under which an answer may be kept stands in the request's state


class KeepAnswers:
    """Keep whole answers of status 200 that tell their length and that a route lets be kept."""

    def __init__(self, app: ASGIApp, kept: AnswersKept) -> None:
        self.app = app
        self.kept = kept

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        await self.app(scope, receive, _Listener(scope, send, self.kept).send)


class _Listener:
    """Pass an answer on, and keep it when the last of it has gone."""

    def __init__(self, scope: Scope, send: Send, kept: AnswersKept) -> None:
        self._scope, self._send, self._kept = scope, send, kept
        self._headers: Sequence[tuple[bytes, bytes]] | None = None
        self._parts: list[bytes] = []

    async def send(self, message: Message) -> None:
        is_head = message["type"] == "http.response.start"
        # Looked at before the doors outside change head and body for this one request.
        if is_head and self._may_be_kept(message):
            self._headers = tuple(message["headers"])
        elif self._headers is not None:
            self._parts.append(message.get("body", b""))
        is_last = not is_head and not message.get("more_body", False)
        await self._send(message)
        if self._headers is not None and is_last:
            self._keep(self._headers, b"".join(self._parts))

    def _keep(self, headers: Sequence[tuple[bytes, bytes]], content: bytes) -> None:
        if len(content) == int(Headers(raw=list(headers))["content-length"]):
            self._kept.keep(self._scope["state"][KEPT_AS], KeptAnswer(headers, content))

    def _may_be_kept(self, head: Message) -> bool:
        if head["status"] != 200 or KEPT_AS not in self._scope.get("state", {}):
            return False
        length = Headers(raw=head["headers"]).get("content-length")
        return length is not None and int(length) < self._kept.largest_bytes
