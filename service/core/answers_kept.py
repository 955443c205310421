"""The last answers as they went out, so that the same question costs the database one look and no more.

An answer is kept under its tag (see ``service/schools/unchanged.py``), which names what was asked and how,
the newest change of the data, and what the caller may see. The tag is made anew from the database at every
request: after a commit, or for somebody who sees something else, it is another one, and what lies under the
old one is never looked up again and falls out in time. Each worker keeps its own, in memory alone.
"""

from collections import OrderedDict
from collections.abc import Sequence
from dataclasses import dataclass
from threading import Lock

MEBIBYTE = 1 << 20
SHARE_OF_ONE = 4  # the largest answer that is kept takes a quarter of the room
BESIDE_BYTES = 2_048  # about what an answer takes beside its content


@dataclass(frozen=True, slots=True)
class KeptAnswer:
    """The bytes of an answer and its header fields as the route made them."""

    headers: Sequence[tuple[bytes, bytes]]
    content: bytes

    @property
    def size_bytes(self) -> int:
        """How much memory it takes."""
        return len(self.content) + BESIDE_BYTES


class MadeBefore(Exception):
    """The answer lies ready; it is sent as it was."""

    def __init__(self, answer: KeptAnswer) -> None:
        super().__init__()
        self.answer = answer


class AnswersKept:
    """The answers that were asked for last, up to so many bytes in all; with no room nothing is kept."""

    def __init__(self, room_bytes: int) -> None:
        self.largest_bytes = room_bytes // SHARE_OF_ONE
        self._room_bytes = room_bytes
        self._held_bytes = 0
        self._answers: OrderedDict[str, KeptAnswer] = OrderedDict()
        self._lock = Lock()

    def find(self, tag: str) -> KeptAnswer | None:
        """Return the answer under a tag, which is now the last that was asked for."""
        with self._lock:
            if tag in self._answers:
                self._answers.move_to_end(tag)
            return self._answers.get(tag)

    def keep(self, tag: str, answer: KeptAnswer) -> None:
        """Keep an answer unless it is too large; those that nobody has asked for the longest make room."""
        if answer.size_bytes > self.largest_bytes:
            return
        with self._lock:
            if tag in self._answers:
                return
            self._answers[tag] = answer
            self._held_bytes += answer.size_bytes
            while self._held_bytes > self._room_bytes:
                _, dropped = self._answers.popitem(last=False)
                self._held_bytes -= dropped.size_bytes
