"""An app called as a server calls it, one message at a time, to see what it took in and when."""

import asyncio
import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

from starlette.types import ASGIApp, Message

GONE: Message = {"type": "http.disconnect"}


@dataclass
class Answer:
    """What came back, and how many parts of the body were asked for."""

    taken: int = 0
    messages: list[Message] = field(default_factory=list)

    @property
    def status(self) -> int:
        return int(self.messages[0]["status"])

    @property
    def headers(self) -> dict[str, str]:
        return {name.decode(): value.decode() for name, value in self.messages[0]["headers"]}

    @property
    def body(self) -> Any:
        return json.loads(b"".join(one.get("body", b"") for one in self.messages))


def part(body: bytes, *, more: bool = True) -> Message:
    return {"type": "http.request", "body": body, "more_body": more}


def ask(
    app: ASGIApp,
    method: str,
    path: str,
    headers: dict[str, str] | None = None,
    parts: Sequence[Message | float] = (part(b"", more=False),),
    on_sent: Callable[[Message], None] = lambda message: None,
) -> Answer:
    """Send one request and give its answer. A number among the parts is a pause [s]; the last is for ever."""
    answer = Answer()
    left = list(parts)

    async def receive() -> Message:
        answer.taken += 1
        while not left or isinstance(left[0], float):
            await asyncio.sleep(left.pop(0) if left else 3600)
        return left.pop(0)

    async def send(message: Message) -> None:
        answer.messages.append(message)
        on_sent(message)

    fields = [(name.lower().encode(), value.encode()) for name, value in (headers or {}).items()]
    scope = {
        "type": "http", "asgi": {"version": "3.0"}, "http_version": "1.1", "method": method, "scheme": "http",
        "path": path, "raw_path": path.encode(), "query_string": b"", "root_path": "", "headers": fields,
        "client": ("192.0.2.7", 1), "server": ("service", 80), "state": {},
    }  # fmt: skip
    asyncio.run(app(scope, receive, send))
    return answer
