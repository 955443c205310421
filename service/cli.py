"""The command `wadebook`."""

import argparse
import os
import sys
from collections.abc import Sequence
from datetime import date
from pathlib import Path

import uvicorn
from sqlalchemy.exc import OperationalError, ProgrammingError
from sqlmodel import Session

from service.app import create_app
from service.core.database import make_engine
from service.core.errors import Invalid, WadebookError
from service.core.migrate import upgrade
from service.core.progress import show_progress
from service.core.settings import Settings, read_settings
from service.demo import load_demo
from service.reference.errors import ReferenceDataError
from service.review.recheck import BATCH, recheck_all
from service.review.rescore import rescore_all
from service.schools.keep_key import create_key
from service.schools.tables import Role

PROJECT = Path(__file__).resolve().parents[1]


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code."""
    asked = _parser().parse_args(arguments)
    try:
        settings = read_settings(os.environ)
        asked.run(settings, asked)
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
    return 0


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

    key = commands.add_parser("key", help="make keys").add_subparsers(required=True, metavar="WHAT")
    create = key.add_parser("create", help="make a key and print it; it is shown only now")
    create.add_argument("--role", required=True, type=Role, choices=list(Role), metavar="ROLE")
    create.add_argument("--label", required=True, help="what the key is for")
    create.add_argument("--school", help="code of the school, for a school's key")
    create.add_argument(
        "--expires", type=date.fromisoformat, help="last day on which it works, year-month-day"
    )
    create.set_defaults(run=_create_key)
    return parser


def _migrate(settings: Settings, asked: argparse.Namespace) -> None:
    upgrade(settings.database_url)


def _serve(settings: Settings, asked: argparse.Namespace) -> None:
    uvicorn.run(create_app(settings), host=settings.host, port=settings.port, server_header=False)


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
    print(f"{done} visits checked; {changed} came out differently")


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


def _create_key(settings: Settings, asked: argparse.Namespace) -> None:
    if (asked.role is Role.SCHOOL) != (asked.school is not None):
        raise WadebookError("A school's key needs --school CODE; the other roles take none.")
    engine = make_engine(settings.database_url)
    with Session(engine) as session:
        _, token = create_key(session, asked.role, asked.school, asked.label, asked.expires)
        session.commit()
    print(token)
