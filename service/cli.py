"""The command `wadebook`."""

import argparse
import os
import sys
from collections import Counter
from collections.abc import Sequence
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TypeAlias

from sqlalchemy.exc import OperationalError, ProgrammingError
from sqlmodel import Session

from service.core.backup.give_back import restore_backup
from service.core.backup.take import take_backup
from service.core.database import make_engine
from service.core.errors import Invalid, WadebookError
from service.core.migrate import upgrade
from service.core.progress import show_progress
from service.core.settings import Settings, read_settings
from service.demo import load_demo
from service.intake.imports.from_disk import import_from_disk
from service.intake.imports.judge import ImportOrder
from service.intake.site_lists.from_disk import import_sites_from_disk
from service.intake.site_lists.take_in import ListOrder
from service.reference.errors import ReferenceDataError
from service.review.recheck import BATCH, recheck_all
from service.review.rescore import rescore_all
from service.schools.keep_key import create_key
from service.schools.tables import Role
from service.serve import serve
from service.visits.private.purge import count_old, purge_old

PROJECT = Path(__file__).resolve().parents[1]
Commands: TypeAlias = "argparse._SubParsersAction[argparse.ArgumentParser]"


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code."""
    asked = _parser().parse_args(arguments)
    try:
        settings = read_settings(os.environ)
        failed: bool | None = asked.run(settings, asked)
    except Invalid as error:
        print(*(f"{field.pointer}: {field.message}" for field in error.errors), sep="\n", file=sys.stderr)
        return 1
    except (OperationalError, ProgrammingError) as error:
        reason = str(error.orig).strip()
        print(
            f"The database cannot be used ({reason}). Is it there? Then run: wadebook migrate",
            file=sys.stderr,
        )
        return 1
    except (WadebookError, ReferenceDataError) as error:
        print(error, file=sys.stderr)
        return 1
    return int(bool(failed))


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="wadebook", description="The visit register of a stream network.")
    commands = parser.add_subparsers(required=True, metavar="COMMAND")

    migrate = commands.add_parser("migrate", help="bring the database to the current schema")
    migrate.set_defaults(run=_migrate)

    serve = commands.add_parser("serve", help="serve the network over HTTP")
    serve.set_defaults(run=_serve)

    demo = commands.add_parser("demo", help="load the demo network through HTTP; twice changes nothing")
    demo.add_argument("--url", help="a running service, with a coordinator's key in WADEBOOK_KEY")
    demo.add_argument(
        "--data", type=Path, default=PROJECT / "demo_data", help="folder of the network's files"
    )
    demo.set_defaults(run=_demo)

    recheck = commands.add_parser("recheck", help="check stored visits again after rules or kits changed")
    recheck.set_defaults(run=_recheck)
    rescore = commands.add_parser(
        "rescore", help="score stored visits anew after definitions or criteria changed"
    )
    rescore.set_defaults(run=_rescore)
    for again in (recheck, rescore):
        again.add_argument(
            "--from", dest="since", type=date.fromisoformat, help="first local date, year-month-day"
        )

    _add_import(commands)
    _add_keeping(commands)
    _add_keys(commands)
    return parser


def _add_import(commands: Commands) -> None:
    take_in = commands.add_parser("import", help="take in a file of visits; run again, it goes on")
    take_in.add_argument("file", type=Path, metavar="FILE", help="CSV, XLSX, or one visit a line as JSON")
    take_in.add_argument("--school", required=True, help="code of the school whose visits these are")
    take_in.add_argument(
        "--mapping", metavar="FILE|CODE", help="how it is read: a file, or the code of one that is kept"
    )
    take_in.add_argument("--dry-run", action="store_true", help="say everything and store nothing")
    take_in.add_argument("--revise", action="store_true", help="correct visits stored with other content")
    take_in.add_argument("--report", type=Path, metavar="FILE", help="to be written: .json, .csv or .xlsx")
    take_in.set_defaults(run=_import)
    sites = commands.add_parser("import-sites", help="take in a list of sites; run again, it doubles nothing")
    sites.add_argument("file", type=Path, metavar="FILE", help="CSV or XLSX")
    sites.add_argument("--mapping", type=Path, metavar="FILE", required=True, help="how it is read")
    sites.add_argument(
        "--school", help="code of the school whose sites these are, unless the mapping says it"
    )
    sites.add_argument("--dry-run", action="store_true", help="say everything and store nothing")
    sites.add_argument("--revise", action="store_true", help="change sites stored with other content")
    sites.add_argument("--report", type=Path, metavar="FILE", help="to be written: .json, .csv or .xlsx")
    sites.set_defaults(run=_import_sites)


def _add_keeping(commands: Commands) -> None:
    backup = commands.add_parser("backup", help="write the whole database into one file, also while in use")
    backup.add_argument("file", type=Path, metavar="FILE", help="to be made; never written over")
    backup.set_defaults(run=_backup)
    restore = commands.add_parser(
        "restore", help="fill an empty database from a backup; stop the service first"
    )
    restore.add_argument("file", type=Path, metavar="FILE", help="made by `wadebook backup`")
    restore.add_argument(
        "--replace", action="store_true", help="put a SQLite database that is there aside, under another name"
    )
    restore.set_defaults(run=_restore)

    purge = commands.add_parser("purge", help="remove what is private and older than the settings keep it")
    purge.add_argument("--dry-run", action="store_true", help="only say how much there is")
    purge.set_defaults(run=_purge)


def _add_keys(commands: Commands) -> None:
    key = commands.add_parser("key", help="make keys").add_subparsers(required=True, metavar="WHAT")
    create = key.add_parser("create", help="make a key and print it; it is shown only now")
    create.add_argument("--role", required=True, type=Role, choices=list(Role), metavar="ROLE")
    create.add_argument("--label", required=True, help="what the key is for")
    create.add_argument("--school", help="code of the school, for a school's key")
    create.add_argument(
        "--expires", type=date.fromisoformat, help="last day on which it works, year-month-day"
    )
    create.set_defaults(run=_create_key)


def _migrate(settings: Settings, asked: argparse.Namespace) -> None:
    upgrade(settings.database_url)


def _serve(settings: Settings, asked: argparse.Namespace) -> None:
    serve(settings)


def _demo(settings: Settings, asked: argparse.Namespace) -> None:
    load_demo(settings, asked.data, asked.url)


def _recheck(settings: Settings, asked: argparse.Namespace) -> None:
    engine = make_engine(settings.database_url, timeout_s=settings.statement_timeout_s)
    done = changed = 0
    with Session(engine, expire_on_commit=False) as session:
        for on, differs in recheck_all(session, settings, asked.since):
            done, changed = done + 1, changed + differs
            if done % BATCH == 0:
                session.commit()
                show_progress(f"{done} visits checked, up to {on}; {changed} came out differently")
        session.commit()
    print(f"{done} visits checked; for {changed} a check says something new, if only what it compared")


def _rescore(settings: Settings, asked: argparse.Namespace) -> None:
    engine = make_engine(settings.database_url, timeout_s=settings.statement_timeout_s)
    seen = scored = changed = 0
    with Session(engine, expire_on_commit=False) as session:
        for on, visits, anew, differing in rescore_all(session, asked.since):
            session.commit()
            seen, scored, changed = seen + visits, scored + anew, changed + differing
            show_progress(
                f"{seen} visits seen, up to {on}; {scored} scored anew, {changed} came out differently"
            )
    print(f"{seen} visits seen; {scored} scored anew, {changed} came out differently")


def _import(settings: Settings, asked: argparse.Namespace) -> bool:
    engine = make_engine(settings.database_url, timeout_s=settings.statement_timeout_s)
    order = ImportOrder(asked.school, asked.dry_run, asked.revise)
    done = import_from_disk(engine, settings, order, asked.file, asked.mapping, asked.report)
    return _told(done.told.text, done.complaints, done.refused)


def _import_sites(settings: Settings, asked: argparse.Namespace) -> bool:
    engine = make_engine(settings.database_url, timeout_s=settings.statement_timeout_s)
    order = ListOrder(asked.school, asked.dry_run, asked.revise)
    done = import_sites_from_disk(engine, order, asked.file, asked.mapping, asked.report)
    return _told(done.report.text, done.complaints, done.refused)


def _told(text: str, complaints: Sequence[str], refused: int) -> bool:
    """Say what became of a file; return whether rows of it were refused."""
    show_progress("", last=True)
    print(text)
    print(*complaints, sep="\n", end="\n" if complaints else "", file=sys.stderr)
    if refused > len(complaints):
        left = refused - len(complaints)
        print(f"and {left} more rows; all of them are in a --report", file=sys.stderr)
    return refused > 0


def _backup(settings: Settings, asked: argparse.Namespace) -> None:
    made = take_backup(settings.database_url, asked.file)
    told = f"{made.kind} database at migration {made.migration}, {made.size_bytes:,} bytes"
    print(
        f"{asked.file}: {told}. It holds private notes and places; keep it where they may be.",
        file=sys.stderr,
    )


def _restore(settings: Settings, asked: argparse.Namespace) -> None:
    done = restore_backup(settings.database_url, asked.file, replace=asked.replace)
    if done.put_aside is not None:
        print(f"What was there before is now {done.put_aside}.", file=sys.stderr)
    for table, rows in done.rows.items():
        print(f"{table}: {rows} rows", file=sys.stderr)
    ahead = "" if done.is_newest else " This release is newer; run: wadebook migrate"
    print(f"Restored from {asked.file}, at migration {done.migration}.{ahead}", file=sys.stderr)


def _purge(settings: Settings, asked: argparse.Namespace) -> None:
    engine = make_engine(settings.database_url, timeout_s=settings.statement_timeout_s)
    now, done = datetime.now(UTC), Counter[str]()
    with Session(engine.execution_options(reads_only=asked.dry_run)) as session:
        for kind, number in (count_old if asked.dry_run else purge_old)(session, settings, now):
            done[kind] += number
            session.commit()
            show_progress(f"{kind}: {done[kind]}")
    for kind, number in done.items():
        print(f"{kind}: {number} {'would be removed' if asked.dry_run else 'removed'}")


def _create_key(settings: Settings, asked: argparse.Namespace) -> None:
    if (asked.role is Role.SCHOOL) != (asked.school is not None):
        raise WadebookError("A school's key needs --school CODE; the other roles take none.")
    engine = make_engine(settings.database_url)
    with Session(engine) as session:
        _, token = create_key(session, asked.role, asked.school, asked.label, asked.expires)
        session.commit()
    print(token)
