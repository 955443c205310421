"""A folder for what is written beside the database while the service runs: files that schools send, counts.

What a school sends is nobody else's, also when the service was killed while it lay there. So a folder whose
owners have all gone is removed at the next start. Each process that uses one keeps a lock on the file
``in-use`` in it, which the system lets go of when the process ends, however it ends.
"""

import fcntl
import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

PREFIX = "wadebook-"
MARK = "in-use"


@contextmanager
def temporary_folder() -> Iterator[Path]:
    """Give a new folder in which this process and those that it starts keep what is temporary.

    It is removed at the end; those of services that were killed are removed at the beginning.
    """
    before = os.environ.get("TMPDIR"), tempfile.tempdir
    _remove_what_the_dead_left(Path(tempfile.gettempdir()))
    with tempfile.TemporaryDirectory(prefix=PREFIX) as name:
        folder = Path(name)
        new = folder / "new"
        new.touch()
        held = _hold(new)
        new.rename(folder / MARK)  # locked before it can be seen, so that no other takes it for a dead one's
        os.environ["TMPDIR"] = tempfile.tempdir = name
        try:
            yield folder
        finally:
            _restore(*before)
            os.close(held)


def keep_temporary_folder() -> None:
    """Keep the folder that this process was started with until it ends, if it has one of its own."""
    mark = Path(tempfile.gettempdir()) / MARK
    if mark.exists():
        _hold(mark)


def _hold(mark: Path) -> int:
    """Lock a file as long as what is returned stays open; several processes may."""
    held = os.open(mark, os.O_RDONLY)
    fcntl.flock(held, fcntl.LOCK_SH)
    return held


def _remove_what_the_dead_left(where: Path) -> None:
    for mark in where.glob(f"{PREFIX}*/{MARK}"):
        if _is_abandoned(mark):
            shutil.rmtree(mark.parent, ignore_errors=True)


def _is_abandoned(mark: Path) -> bool:
    try:
        with mark.open("rb") as file:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
            return os.fstat(file.fileno()).st_uid == os.getuid()
    except OSError:  # somebody holds it, may not open it, or removes it at this moment
        return False


def _restore(variable: str | None, folder: str | None) -> None:
    tempfile.tempdir = folder
    if variable is None:
        os.environ.pop("TMPDIR", None)
    else:
        os.environ["TMPDIR"] = variable
