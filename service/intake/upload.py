"""The file that a request brought: as the body itself, or as a part of a form."""

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from threading import BoundedSemaphore
from typing import BinaryIO, cast

from fastapi import Request
from python_multipart.exceptions import FormParserError
from python_multipart.multipart import MultipartParser, parse_options_header

from service.core.door.whole_body import UPLOAD
from service.core.errors import FieldError, Invalid, NotNow

FORM = b"multipart/form-data"
CHUNK_BYTES = 65_536
LARGEST_MAPPING_BYTES = 1_048_576
LONGEST_NAME = 120
PARTS = ("file", "mapping")
FILES_AT_ONCE = 3  # of one process: a long file takes minutes, and visits come in beside it all the while
LONGEST_QUEUE_S = 5
_free = BoundedSemaphore(FILES_AT_ONCE)


@dataclass(frozen=True, slots=True)
class Upload:
    """A file as it came, what its sender calls it (empty: nothing), and a mapping that came beside it."""

    path: Path
    name: str
    media_type: str
    mapping: bytes | None = None


@contextmanager
def uploaded(request: Request) -> Iterator[Upload]:
    """Give the file that a request brought, as long as the block lasts.

    Raises
    ------
    Invalid
        The body is a form that cannot be read, or one without a file.
    NotNow
        As many files as may be worked on at once are being worked on.
    """
    if not _free.acquire(timeout=LONGEST_QUEUE_S):
        told = "Several files are being read at this moment; nothing of yours was. Send it again in a minute."
        raise NotNow(told)
    try:
        yield from _upload(request)
    finally:
        _free.release()


def _upload(request: Request) -> Iterator[Upload]:
    path: Path = getattr(request.state, UPLOAD)
    header = request.headers.get("content-type", "")
    media_type, options = parse_options_header(header)
    if media_type != FORM:
        yield Upload(path, "", media_type.decode("latin-1"))
        return
    with tempfile.NamedTemporaryFile(prefix="wadebook-part-") as file:
        form = _Form(cast(BinaryIO, file))
        form.read(path, options.get(b"boundary", b""))
        file.flush()
        yield Upload(Path(file.name), form.name, form.media_type, form.mapping)


def _refused(pointer: str, told: str) -> Invalid:
    return Invalid([FieldError(pointer, told)])


class _Form:
    """Takes a form apart: the file goes to the disk, a mapping stays in memory."""

    def __init__(self, file: BinaryIO) -> None:
        self.name = self.media_type = ""
        self.mapping: bytes | None = None
        self._file = file
        self._seen: list[str] = []
        self._headers: dict[bytes, bytes] = {}
        self._field = self._value = b""
        self._is_whole = False

    def read(self, path: Path, boundary: bytes) -> None:
        """Read a form whole."""
        try:
            parser = MultipartParser(
                boundary,
                {
                    "on_part_begin": self._headers.clear,
                    "on_header_field": self._on_field,
                    "on_header_value": self._on_value,
                    "on_header_end": self._on_header,
                    "on_headers_finished": self._on_part,
                    "on_part_data": self._on_data,
                    "on_end": self._on_end,
                },
            )
            with path.open("rb") as body:
                while chunk := body.read(CHUNK_BYTES):
                    parser.write(chunk)
            parser.finalize()
        except FormParserError:
            self._is_whole = False
        if not self._is_whole:
            raise _refused("", "is a form that cannot be read; send the file itself instead")
        if "file" not in self._seen:
            raise _refused("/file", "is missing; send the sheet as the part named file")

    def _on_field(self, data: bytes, start: int, end: int) -> None:
        self._field += data[start:end]

    def _on_value(self, data: bytes, start: int, end: int) -> None:
        self._value += data[start:end]

    def _on_header(self) -> None:
        self._headers[self._field.lower()] = self._value
        self._field = self._value = b""

    def _on_part(self) -> None:
        _, options = parse_options_header(self._headers.get(b"content-disposition", b""))
        part = options.get(b"name", b"").decode("utf-8", "replace")
        if part not in PARTS:
            raise _refused("", f"holds a part that is not known here; known are {' and '.join(PARTS)}")
        if part in self._seen:
            raise _refused(f"/{part}", "is given twice; send one file at a time")
        self._seen.append(part)
        if part == "mapping":
            self.mapping = b""
            return
        media_type, _ = parse_options_header(self._headers.get(b"content-type", b""))
        self.media_type = media_type.decode("latin-1")
        name = options.get(b"filename", b"").decode("utf-8", "replace")
        self.name = "".join(one for one in name if one.isprintable())[:LONGEST_NAME]

    def _on_end(self) -> None:
        self._is_whole = True

    def _on_data(self, data: bytes, start: int, end: int) -> None:
        if self._seen[-1] == "file":
            self._file.write(data[start:end])
            return
        self.mapping = (self.mapping or b"") + data[start:end]
        if len(self.mapping) > LARGEST_MAPPING_BYTES:
            raise _refused("/mapping", f"is larger than {LARGEST_MAPPING_BYTES} bytes")
