"""Take in a body whole before anything else begins: not larger and not slower than the network allows.

A caller who sends a byte a second then keeps nobody else waiting: no thread, no connection and no place among
those that are let in. A file that is sent to an address of its own goes to the disk as it comes.
"""

import io
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import BinaryIO, cast

import anyio
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.core.database_trouble import is_disk_full
from service.core.http_errors import no_room, problem

CLOSE = {"Connection": "close"}
LONGEST_NUMBER = 18  # digits of a length that is worth reading
UPLOAD = "upload"  # where the path of the file that came stands in the request's state


class TooLarge(Exception):
    """The body is larger than the limit."""


class Gone(Exception):
    """The caller hung up before the body was whole."""


class WholeBody:
    """Answer 413 beyond ``limit_bytes``, 408 where the body has not come within ``deadline_s`` [s].

    ``uploads`` are the addresses that take a file, each with its own limit [bytes]: the app finds the path of
    the file in the request's state, as long as the request lasts, and an empty body.
    """

    def __init__(
        self, app: ASGIApp, limit_bytes: int, deadline_s: float, uploads: Mapping[str, int] | None = None
    ) -> None:
        self.app = app
        self.limit_bytes = limit_bytes
        self.deadline_s = deadline_s
        self.uploads = uploads or {}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
        elif scope["method"] == "POST" and scope["path"] in self.uploads:
            limit_bytes = self.uploads[scope["path"]]
            # Without a buffer: what the disk has no room for must not be tried again when the file is closed.
            with tempfile.NamedTemporaryFile(prefix="wadebook-upload-", buffering=0) as file:
                target = cast(BinaryIO, file)
                fault = await self._take_in(scope, receive, target, limit_bytes, "send it in parts")
                scope.setdefault("state", {})[UPLOAD] = Path(file.name)
                await (fault or self.app)(scope, _again(b"", receive), send)
        else:
            body = io.BytesIO()
            fault = await self._take_in(scope, receive, body, self.limit_bytes, "send one visit at a time")
            await (fault or self.app)(scope, _again(body.getvalue(), receive), send)

    async def _take_in(
        self, scope: Scope, receive: Receive, target: BinaryIO, limit_bytes: int, instead: str
    ) -> ASGIApp | None:
        """Write the body to a target; return what answers the request where it did not come as it must."""
        declared = dict(scope["headers"]).get(b"content-length", b"0")
        try:
            if declared.isdigit() and (len(declared) > LONGEST_NUMBER or int(declared) > limit_bytes):
                raise TooLarge
            with anyio.fail_after(self.deadline_s):
                await _read(receive, target, limit_bytes)
        except TooLarge:
            # The connection stays: closing it on a body that still comes would cut the answer off too.
            return problem(413, f"The body is larger than {limit_bytes} bytes; {instead}.")
        except TimeoutError:
            told = f"The body did not come within {self.deadline_s:g} seconds; nothing was stored."
            return problem(408, told, headers=CLOSE)
        except Gone:
            return _nobody
        except OSError as error:
            if not is_disk_full(error):
                raise
            return no_room(error)
        return None


async def _nobody(scope: Scope, receive: Receive, send: Send) -> None:
    """Answer nothing to a caller who hung up."""


async def _read(receive: Receive, target: BinaryIO, limit_bytes: int) -> None:
    taken, more = 0, True
    while more:
        message = await receive()
        if message["type"] == "http.disconnect":
            raise Gone
        part = message.get("body", b"")
        taken += len(part)
        if taken > limit_bytes:
            raise TooLarge
        _write(target, part)  # to a file too: a part is small, and the disk takes it when it has time
        more = message.get("more_body", False)


def _write(target: BinaryIO, part: bytes) -> None:
    left = memoryview(part)
    while left:
        left = left[target.write(left) :]


def _again(body: bytes, receive: Receive) -> Receive:
    """Return a ``receive`` that gives the body that was read, then what comes after it."""
    given = False

    async def receive_again() -> Message:
        nonlocal given
        if given:
            return await receive()
        given = True
        return {"type": "http.request", "body": body, "more_body": False}

    return receive_again
