"""What is temporary lies in a folder that goes with its service, also when that was killed."""

import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from service.core.temporary_folder import MARK, keep_temporary_folder, temporary_folder

ROOT = Path(__file__).parents[2]
SERVICE = """
import sys, tempfile
from service.core.temporary_folder import keep_temporary_folder, temporary_folder
if sys.argv[1] == "worker":
    keep_temporary_folder()
    print(tempfile.gettempdir(), flush=True)
    sys.stdin.read()
else:
    with temporary_folder() as folder:
        tempfile.NamedTemporaryFile(delete=False).write(b"children's work")
        print(folder, flush=True)
        sys.stdin.read()
"""


@contextmanager
def started(what: str, temporary: Path) -> Iterator[tuple[subprocess.Popen[str], Path]]:
    """Start a process that keeps a folder, and give both."""
    with subprocess.Popen(
        [sys.executable, "-c", SERVICE, what], cwd=ROOT, env={"TMPDIR": str(temporary)}, text=True,
        stdin=subprocess.PIPE, stdout=subprocess.PIPE,
    ) as process:  # fmt: skip
        assert process.stdout is not None
        try:
            yield process, Path(process.stdout.readline().strip())
        finally:
            process.kill()


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    return tmp_path


def test_all_temporary_files_lie_in_it_and_go_with_it(here: Path) -> None:
    with temporary_folder() as folder:
        assert (folder.parent, folder.stat().st_mode & 0o777) == (here, 0o700)
        assert tempfile.gettempdir() == str(folder)
        (folder / "sheet.csv").write_text("children's work")
    assert (list(here.iterdir()), tempfile.gettempdir()) == ([], str(here))


def test_the_next_start_removes_what_a_killed_one_left_and_nothing_else(here: Path) -> None:
    strange = here / "wadebook-of-somebody-else"
    strange.mkdir()
    with started("service", here) as (living, its_folder):
        with started("service", here) as (killed, left):
            killed.kill()
            killed.wait()
        assert len(list(left.iterdir())) == 2  # the mark, and what had been sent
        with temporary_folder():
            assert (left.exists(), its_folder.exists(), strange.exists()) == (False, True, True)
            assert (its_folder / MARK).exists()
        assert living.poll() is None


def test_a_worker_that_outlives_the_first_process_keeps_its_folder(here: Path) -> None:
    with started("service", here) as (first, folder), started("worker", folder) as (_, workers):
        assert workers == folder
        first.kill()
        first.wait()
        with temporary_folder():
            assert folder.exists()
    with temporary_folder():
        assert not folder.exists()


def test_a_process_without_such_a_folder_keeps_nothing(here: Path) -> None:
    keep_temporary_folder()
    assert list(here.iterdir()) == []
