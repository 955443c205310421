"""What a child process tells about a workbook, asked for piece by piece; whatever it does, it ends."""

import json
import os
import select
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import BoundedSemaphore
from typing import Any

import orjson

from service.intake.sheets.cell import Unreadable
from service.intake.sheets.limits import (
    CHILD_CPU_SECONDS,
    CHILD_MEMORY_BYTES,
    CHILDREN_AT_ONCE,
    LARGEST_FRAME_BYTES,
    LONGEST_QUEUE_S,
    LONGEST_SILENCE_S,
)
from service.intake.sheets.workbook.frames import END, LENGTH_BYTES, REFUSED

CHILD = "service.intake.sheets.workbook.child"
ROOT = Path(__file__).parents[4]
READ_BYTES = 262_144
TOO_SLOW = "Reading the workbook takes too long. Save its rows as .csv, or cut it into parts."
ENDED = "The workbook is damaged or needs too much memory. Save its rows as .csv and send that."
BUSY = "Too many workbooks are being read at this moment. Send it again in a minute, or save it as .csv."

_free = BoundedSemaphore(CHILDREN_AT_ONCE)


@contextmanager
def told_by_child(path: Path, sheet: str | None, most_rows: int | None) -> Iterator[Iterator[list[Any]]]:
    """Give the frames that a child tells about a workbook, as long as the block lasts.

    Raises
    ------
    Unreadable
        The child refuses the workbook, dies, or is silent for too long.
    """
    if not _free.acquire(timeout=LONGEST_QUEUE_S):
        raise Unreadable(BUSY)
    try:
        with path.open("rb") as file:
            child = _start(file.fileno(), sheet, most_rows)
        try:
            yield _frames(child)
        finally:
            child.kill()
            child.communicate()
    finally:
        _free.release()


def _start(file: int, sheet: str | None, most_rows: int | None) -> subprocess.Popen[bytes]:
    """Start the child with nothing of this process: no environment, no files but the workbook."""
    order = {
        "sheet": sheet,
        "most_rows": most_rows,
        "memory_bytes": CHILD_MEMORY_BYTES,
        "cpu_seconds": CHILD_CPU_SECONDS,
    }
    return subprocess.Popen(  # noqa: S603  this very program, with a module of ours
        [sys.executable, "-E", "-s", "-m", CHILD, json.dumps(order)],
        cwd=ROOT,
        env={},
        stdin=file,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
    )


def _frames(child: subprocess.Popen[bytes]) -> Iterator[list[Any]]:
    pipe = _Pipe(child)
    while True:
        length = int.from_bytes(pipe.take(LENGTH_BYTES), "big")
        if length > LARGEST_FRAME_BYTES:
            raise Unreadable(ENDED)
        frame: list[Any] = orjson.loads(pipe.take(length))
        if frame[0] == REFUSED:
            raise Unreadable(frame[1])
        if frame[0] == END:
            return
        yield frame


class _Pipe:
    """The bytes that a child writes, waited for no longer than is sensible."""

    def __init__(self, child: subprocess.Popen[bytes]) -> None:
        assert child.stdout is not None
        self._child = child
        self._number = child.stdout.fileno()
        self._poll = select.poll()
        self._poll.register(self._number, select.POLLIN | select.POLLHUP)
        self._held = bytearray()

    def take(self, count: int) -> bytes:
        while len(self._held) < count:
            if not self._poll.poll(LONGEST_SILENCE_S * 1000):
                raise Unreadable(TOO_SLOW)
            read = os.read(self._number, READ_BYTES)
            if not read:
                raise Unreadable(TOO_SLOW if self._child.wait() == -signal.SIGXCPU else ENDED)
            self._held += read
        taken = bytes(self._held[:count])
        del self._held[:count]
        return taken
