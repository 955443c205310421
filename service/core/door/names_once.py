"""Refuse a body that gives one name twice: of two values one would be lost without a word.

Reference
---------
RFC 8259, section 4: names within an object should be unique; what software does with others is unpredictable.
"""

import json
from collections import Counter
from collections.abc import Iterator
from typing import Any

from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.core.door.key_first import WRITING
from service.core.errors import FieldError, Invalid
from service.core.http_errors import pointer_to, problem


class NamesOnce:
    """Answer 422 where a JSON body has a name twice. It stands where the body comes in one piece."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request."""
        if scope["type"] != "http" or scope["method"] not in WRITING:
            await self.app(scope, receive, send)
            return
        message: Message | None = await receive()
        repeated = repeated_names((message or {}).get("body", b""))
        if repeated:
            refused = Invalid([FieldError(pointer, "is given twice; give it once") for pointer in repeated])
            await problem(422, refused.message, errors=refused.errors)(scope, receive, send)
            return

        async def receive_again() -> Message:
            nonlocal message
            if message is None:
                return await receive()
            first, message = message, None
            return first

        await self.app(scope, receive_again, send)


class _Ambiguous(dict[str, Any]):
    """An object of the body, and the names in it that come twice."""

    names: list[str] | tuple[()] = ()


def repeated_names(body: bytes) -> list[str]:
    """Return the pointers of names that come twice; a body that is no JSON has none."""
    is_any = False

    def once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        nonlocal is_any
        found = _Ambiguous(pairs)
        if len(found) < len(pairs):
            is_any = True
            found.names = [name for name, times in Counter(name for name, _ in pairs).items() if times > 1]
        return found

    try:
        whole = json.loads(body, object_pairs_hook=once)
    except (ValueError, RecursionError):
        return []
    return list(_pointers(whole)) if is_any else []


def _pointers(whole: Any) -> Iterator[str]:
    waiting: list[tuple[tuple[int | str, ...], Any]] = [((), whole)]
    while waiting:
        place, value = waiting.pop()
        if isinstance(value, _Ambiguous):
            yield from (pointer_to((*place, name)) for name in value.names)
        if isinstance(value, dict | list):
            inner = value.items() if isinstance(value, dict) else enumerate(value)
            waiting += [((*place, name), part) for name, part in inner]
