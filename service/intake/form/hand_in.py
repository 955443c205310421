"""Check, hand in or correct what was typed into the form: by the same use cases as every other visit."""

from dataclasses import dataclass
from datetime import UTC, datetime
from uuid import UUID

from sqlmodel import Session

from service.core.errors import Conflict, PreconditionFailed, WadebookError
from service.core.etag import etag_of
from service.core.settings import Settings
from service.schools.caller import Caller
from service.sites.queries import site_by_code
from service.visits.answers import VisitAnswer
from service.visits.build_record import build_record
from service.visits.queries import visit_by_id
from service.visits.record import Arrival
from service.visits.records.queries import load_record
from service.visits.revise import revise_visit
from service.visits.schemas import VisitBody
from service.visits.show_visit import shown_visit
from service.visits.submit import site_for, submit_visit


@dataclass(frozen=True, slots=True)
class HandedIn:
    """What became of a visit. ``tag`` names the version that is stored; empty after a dry run."""

    answer: VisitAnswer
    tag: str
    is_new: bool


class StoredAlready(Exception):
    """Under this id other content is stored: the caller's own visit as it stands, with its tag."""

    def __init__(self, stored: HandedIn, why: WadebookError) -> None:
        super().__init__(why.message)
        self.stored = stored
        self.why = why


def check_or_hand_in(
    session: Session, settings: Settings, caller: Caller, body: VisitBody, *, dry_run: bool, tag: str
) -> HandedIn:
    """Check a visit, or store it; with a ``tag``, as the correction of the version that it names.

    Raises
    ------
    StoredAlready
        Its id stands for other content, or for a newer version than the one that was seen.
    Invalid, Forbidden, Conflict, NotFound
        As when a visit is handed in or corrected elsewhere.
    """
    assert body.visit_id is not None  # the form has one
    try:
        if not tag:
            done = submit_visit(session, settings, caller, body, dry_run=dry_run)
        elif dry_run:
            return _checked_again(session, settings, caller, body, body.visit_id)
        else:
            done = revise_visit(session, settings, caller, body.visit_id, body, tag)
    except (Conflict, PreconditionFailed) as error:
        stored = stored_visit(session, settings, caller, body.visit_id)
        if stored is None:
            raise
        raise StoredAlready(stored, error) from None
    answer = shown_visit(done.record, done.site, caller, settings.whom_to_call)
    is_stored = not dry_run or not done.is_new
    return HandedIn(answer, etag_of(answer) if is_stored else "", done.is_new)


def stored_visit(session: Session, settings: Settings, caller: Caller, visit_id: UUID) -> HandedIn | None:
    """Return a visit of the caller's own school as it is stored, or ``None``."""
    visit = visit_by_id(session, visit_id)
    if visit is None or not caller.sees_school(visit.school):
        return None
    site = site_by_code(session, visit.site)
    assert site is not None  # a foreign key holds it
    answer = shown_visit(load_record(session, visit), site, caller, settings.whom_to_call)
    return HandedIn(answer, etag_of(answer), is_new=False)


def _checked_again(
    session: Session, settings: Settings, caller: Caller, body: VisitBody, visit_id: UUID
) -> HandedIn:
    """Check a correction as if it were handed in; nothing is stored."""
    site = site_for(session, caller, body)
    arrival = Arrival(visit_id, 1, caller.key_text, datetime.now(UTC))
    record = build_record(session, settings, body, site, arrival)
    return HandedIn(shown_visit(record, site, caller, settings.whom_to_call), "", is_new=True)
