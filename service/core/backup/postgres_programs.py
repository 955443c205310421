"""PostgreSQL's own programs for backups: which of them fits the server, and running it."""

import os
import re
import shutil
import subprocess
from collections import deque
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from service.core.errors import WadebookError
from service.core.progress import show_progress

USUAL_FOLDERS = ("usr/lib/postgresql/*/bin", "usr/pgsql-*/bin", "usr/local/pgsql*/bin")
LAST_WORDS = 5


def program(name: str, server: int) -> str:
    """Return the path of a program that fits a server of this major version.

    Raises
    ------
    WadebookError
        There is none on the ``PATH`` or where it usually is.
    """
    return fitting(name, server, list(_installed(name)))


def fitting(name: str, server: int, installed: Sequence[tuple[int, str]]) -> str:
    """Return, of the programs that are installed, the oldest that is not older than the server.

    An older one refuses to read the server; a newer one may set what the server does not know.

    Parameters
    ----------
    name : str
        Of the program.
    server : int
        Major version of the server.
    installed : sequence of (int, str)
        Major version and path of each, those that are to be preferred first.

    Raises
    ------
    WadebookError
        There is none.
    """
    able = [(major, place) for place, (major, _) in enumerate(installed) if major >= server]
    if able:
        return installed[min(able)[1]][1]
    found = ", ".join(f"{path} of version {major}" for major, path in installed)
    raise WadebookError(
        f"This needs PostgreSQL's program {name}, version {server} or newer, on the PATH; "
        f"{f'there is only {found}' if found else 'there is none'}. "
        f"Install the client programs of your server (such as the package postgresql-client-{server})."
    )


def _installed(name: str) -> Iterator[tuple[int, str]]:
    usual = (str(folder) for pattern in USUAL_FOLDERS for folder in sorted(Path("/").glob(pattern)))
    seen = (shutil.which(name, path=folder) for folder in (*os.get_exec_path(), *usual))
    for path in filter(None, dict.fromkeys(seen)):
        if version := re.search(r"\(PostgreSQL\) (\d+)", output_of([path, "--version"])):
            yield int(version[1]), path


def output_of(command: Sequence[str]) -> str:
    """Run a program that says little, and return what it said.

    Raises
    ------
    WadebookError
        It failed; the message holds its own.
    """
    done = subprocess.run(  # noqa: S603  nothing of it comes from outside
        command, capture_output=True, text=True, errors="replace", check=False, env=_environment({})
    )
    if done.returncode != 0:
        raise WadebookError(f"{Path(command[0]).name} failed: {done.stderr.strip()}")
    return done.stdout


def run_long(command: Sequence[str], secret: Mapping[str, str]) -> None:
    """Run a program that reports what it is at, and show that.

    Parameters
    ----------
    command : sequence of str
        The program and its arguments.
    secret : mapping
        What it is told through its environment, which other users of the machine do not see.

    Raises
    ------
    WadebookError
        It failed; the message holds its last words.
    """
    last: deque[str] = deque(maxlen=LAST_WORDS)
    with subprocess.Popen(  # noqa: S603  nothing of it comes from outside
        command,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
        errors="replace",
        env=_environment(secret),
    ) as running:
        assert running.stderr is not None  # it is a pipe
        for line in running.stderr:
            last.append(line.strip())
            show_progress(line.strip()[:100])
    show_progress("", last=True)
    if running.returncode != 0:
        raise WadebookError(f"{Path(command[0]).name} failed: {' | '.join(last)}")


def _environment(secret: Mapping[str, str]) -> dict[str, str]:
    return {**os.environ, "LC_ALL": "C", **secret}
