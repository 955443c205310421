"""A file that appears under its name only when it is whole and on the disk."""

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from service.core.errors import WadebookError


@contextmanager
def whole_file(file: Path) -> Iterator[Path]:
    """Give the path of an empty file to fill, readable by its owner alone; whole, it takes the name.

    Raises
    ------
    WadebookError
        At the end there is a file of that name; it stays as it is.
    """
    handle, name = tempfile.mkstemp(prefix=f".{file.name}.", suffix=".partial", dir=file.parent)
    os.close(handle)
    partial = Path(name)
    try:
        yield partial
        sync(partial)
        require_free(file)
        partial.rename(file)
        sync(file.parent)
    finally:
        partial.unlink(missing_ok=True)


def sync(path: Path) -> None:
    """Wait until a file, or the names in a folder, are on the disk."""
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def require_free(file: Path) -> None:
    """Let nothing be written over.

    Raises
    ------
    WadebookError
        There is a file of that name already.
    """
    if file.exists():
        raise WadebookError(f"{file} is there already and stays as it is; choose another name.")
