"""Take in a visit: check, score and store it, and make sending it again safe."""

from dataclasses import dataclass
from datetime import UTC, date, datetime

from sqlalchemy.exc import IntegrityError
from sqlmodel import Session

from service.changes.queries import record_change
from service.changes.tables import Deed, Subject
from service.core.errors import Conflict, FieldError, Forbidden, Invalid
from service.core.ids import uuid7
from service.core.settings import Settings
from service.schools.caller import Caller
from service.science.flags import Flag
from service.science.types import VisitKind
from service.sites.keep_lot import note_blank
from service.sites.queries import site_by_code
from service.sites.tables import Site
from service.visits.build_record import build_record
from service.visits.interpret import content_hash
from service.visits.queries import visit_by_id
from service.visits.record import Arrival, VisitRecord
from service.visits.records.queries import hashes_of, insert_record, load_record
from service.visits.schemas import VisitBody
from service.visits.tables import Visit


@dataclass(frozen=True, slots=True)
class Submitted:
    """What became of a visit that was handed in. ``is_new`` is false for one that was already here."""

    record: VisitRecord
    site: Site
    is_new: bool


def submit_visit(
    session: Session, settings: Settings, caller: Caller, body: VisitBody, *, dry_run: bool
) -> Submitted:
    """Check and score a visit, and store it unless this is a dry run.

    Raises
    ------
    Invalid
        The site or a kit does not exist.
    Forbidden
        The site belongs to another school.
    Conflict
        The visit's id already stands for other content.
    """
    site = site_for(session, caller, body)
    known = visit_by_id(session, body.visit_id) if body.visit_id else None
    if known is not None:
        return Submitted(_stored(session, caller, body, known), site, is_new=False)
    arrival = Arrival(body.visit_id or uuid7(only_day=True), 1, caller.key_text, datetime.now(UTC))
    record = build_record(session, settings, body, site, arrival)
    if dry_run:
        return Submitted(record, site, is_new=True)
    try:
        with session.begin_nested():
            insert_record(session, record)
    except IntegrityError:
        # The same id was handed in twice at once, and the other one was first.
        known = visit_by_id(session, record.visit.id)
        if known is None:
            raise
        return Submitted(_stored(session, caller, body, known), site, is_new=False)
    note_blanks(session, record)
    record_change(session, Subject.VISIT, str(record.visit.id), caller.key_text, Deed.MADE)
    return Submitted(record, site, is_new=True)


def _stored(session: Session, caller: Caller, body: VisitBody, known: Visit) -> VisitRecord:
    sent_before = content_hash(body) in hashes_of(session, known.id)
    if not sent_before or not caller.sees_school(known.school):
        raise Conflict(
            f"Visit {known.id} is already stored with other content; nothing was changed. "
            "Send a new visit under a new id, or correct this one with PUT."
        )
    return load_record(session, known)


def site_for(session: Session, caller: Caller, body: VisitBody) -> Site:
    """Return the site of a visit, if the caller may hand in visits there."""
    site = site_by_code(session, body.site)
    if site is None:
        raise Invalid([FieldError("/site", f"there is no site {body.site}; ask the coordinator to enter it")])
    if not caller.sees_school(site.school):
        raise Forbidden(
            f"Site {site.code} belongs to another school; a school hands in visits of its own sites."
        )
    return site


def note_blanks(session: Session, record: VisitRecord) -> None:
    """Let a blank speak for the box it was made with, until the next blank."""
    for lot, failed_on in blanks_of(record).items():
        note_blank(session, record.visit.school, lot, failed_on)


def blanks_of(record: VisitRecord) -> dict[str, date | None]:
    """Return for each box that a visit was a blank of the day on which it showed colour, if it did."""
    if record.visit.kind is not VisitKind.FIELD_BLANK:
        return {}
    return {
        row.kit_lot: record.visit.observed_on if row.flag in (Flag.SUSPECT, Flag.FAIL) else None
        for row in record.readings
        if row.kit_lot is not None and row.value is not None
    }
