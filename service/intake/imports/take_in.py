"""Take in a file: its rows go on a shelf, then its visits into the register in the order of time.

The register is written in batches with a commit each, so nobody waits long; whoever stops it in between
leaves whole visits, and sending the file again goes on from there.
"""

import logging
from collections.abc import Callable
from functools import partial

from sqlalchemy.exc import IntegrityError
from sqlmodel import Session

from service.core.database import own_commit
from service.core.database_trouble import is_disk_full, is_passing
from service.core.settings import Settings
from service.intake.imports.judge import ImportOrder, Judge
from service.intake.imports.said import of_the_row
from service.intake.imports.shelf.queries import FIRST, Shelf, WaitingVisit
from service.intake.imports.source import Source
from service.intake.imports.verdict import Verdict, refused, told_rows
from service.intake.mapping.assembled import RowProblem
from service.schools.caller import Caller

BATCH = 50  # visits to a transaction: others who write wait about a second at most
LOG = logging.getLogger("wadebook.imports")
DISK_FULL = "was not stored: the network's disk is full. Tell the coordinator, then send the file again"
NOT_NOW = "was not stored: the database did not answer. Send the file again in a moment"
FAILED = "was not stored: the service failed on this part of the file. Tell the coordinator, with the file"

Tell = Callable[[str], None]


def take_in(
    session: Session,
    settings: Settings,
    caller: Caller,
    order: ImportOrder,
    source: Source,
    shelf: Shelf,
    tell: Tell = lambda told: None,
) -> None:
    """Let every row of a file come to its fate, which then stands on the shelf.

    Parameters
    ----------
    session
        Of the network's database; what it has begun is committed first, and no lock is held while the file is
        read.
    tell
        Is told from time to time how far the work is.

    Raises
    ------
    Unreadable
        Nothing of the file can be read; nothing was stored.
    """
    with own_commit(session):
        judge = Judge(session, settings, caller, order, source)
    for rows in shelf.put(source.rows()):
        tell(f"{rows} rows read")
    visits, done, after, trouble = shelf.count_visits(), 0, FIRST, ""
    while batch := shelf.visits_after(after, BATCH):
        verdicts = None
        if not trouble:
            verdicts, trouble = _judged(session, judge, batch)
        for waiting, verdict in zip(batch, verdicts or map(partial(_not_done, trouble), batch), strict=True):
            outcome = verdict.visit.model_dump_json() if verdict.visit else None
            shelf.settle(waiting.number, outcome, told_rows(waiting, verdict))
        after, done = batch[-1].place, done + len(batch)
        tell(f"{done} of {visits} visits")


def _judged(session: Session, judge: Judge, batch: list[WaitingVisit]) -> tuple[list[Verdict] | None, str]:
    """Return the verdicts on a batch that is stored whole, or why nothing of it is."""
    try:
        try:
            return _in_one_transaction(session, judge, batch), ""
        except IntegrityError:
            # Another was handing in the same visits at this moment; now they are there to be seen.
            return _in_one_transaction(session, judge, batch), ""
    except Exception as error:
        # Whatever it is, the report must still say what the batches before have stored.
        LOG.error("a batch of visits was not stored", exc_info=error)
        if is_disk_full(error):
            return None, DISK_FULL
        return None, NOT_NOW if is_passing(error) else FAILED


def _in_one_transaction(session: Session, judge: Judge, batch: list[WaitingVisit]) -> list[Verdict]:
    try:
        with own_commit(session):
            return judge.judge(batch)
    except BaseException:
        judge.forget()
        raise
    finally:
        session.expunge_all()


def _not_done(trouble: str, waiting: WaitingVisit) -> Verdict:
    return refused([RowProblem(waiting.rows[0].number, of_the_row(trouble))])
