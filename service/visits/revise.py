"""Correct a visit: a further revision, checked and scored like the first, while the older ones stay."""

from datetime import UTC, datetime
from uuid import UUID

from sqlmodel import Session

from service.changes.queries import record_change
from service.changes.tables import Deed, Subject
from service.core.errors import Conflict, FieldError, Forbidden, Invalid, NotFound
from service.core.etag import require_match
from service.core.settings import Settings
from service.schools.caller import Caller
from service.sites.queries import site_by_code
from service.visits.build_record import build_record
from service.visits.follow_blank import follow_blank
from service.visits.interpret import content_hash
from service.visits.queries import visit_to_change
from service.visits.record import Arrival, VisitRecord
from service.visits.records.queries import insert_revision, load_record
from service.visits.schemas import VisitBody
from service.visits.show_visit import visit_tag
from service.visits.submit import Submitted, site_for
from service.visits.tables import State, Visit


def revise_visit(
    session: Session,
    settings: Settings,
    caller: Caller,
    visit_id: UUID,
    body: VisitBody,
    if_match: str | None,
) -> Submitted:
    """Store a corrected visit as its next revision. Sent again, the same content changes nothing.

    Raises
    ------
    NotFound
        There is no such visit that the caller may know of.
    PreconditionRequired, PreconditionFailed
        The change does not name the version that stands.
    Conflict
        The visit was withdrawn.
    Invalid
        The body names another visit, or breaks a rule as when it is handed in.
    """
    visit = changeable(session, caller, visit_id)
    if body.visit_id not in (None, visit_id):
        raise Invalid([FieldError("/visit_id", "is another visit's id; leave it out")])
    before = load_record(session, visit)
    old_site = site_by_code(session, visit.site)
    assert old_site is not None  # a foreign key holds it
    if if_match is not None and before.revision.content_hash == content_hash(body):
        return Submitted(before, old_site, is_new=False)  # sent again, as its answer was lost on the way
    require_match(if_match, visit_tag(before, old_site, caller, settings))
    if visit.state is State.WITHDRAWN:
        raise Conflict("This visit was withdrawn; hand it in as a new visit, under a new id.")
    site = site_for(session, caller, body)
    if site.school != visit.school:
        raise Invalid([FieldError("/site", f"is another school's; this visit is one of {visit.school}")])
    arrival = Arrival(visit_id, visit.revision + 1, caller.key_text, datetime.now(UTC))
    record = build_record(session, settings, body, site, arrival)
    if visit.state is State.REJECTED:
        record.visit.state = State.HELD  # what a person has rejected is for a person to let in again
    record.visit.published = visit.published or record.visit.state is State.RELEASED
    _keep_acknowledged(before, record)
    session.expunge(visit)
    insert_revision(session, record)
    follow_blank(session, before, record)
    what = f"revision {record.visit.revision}"
    record_change(session, Subject.VISIT, str(visit_id), caller.key_text, Deed.CHANGED, what)
    return Submitted(record, site, is_new=True)


def changeable(session: Session, caller: Caller, visit_id: UUID) -> Visit:
    """Return a visit of the caller's own school, kept from other writers.

    Raises
    ------
    Forbidden
        It is another school's, and public.
    NotFound
        There is none, or none that this caller may know of.
    """
    visit = visit_to_change(session, visit_id)
    if visit is not None and caller.sees_school(visit.school):
        return visit
    if visit is not None and visit.state is State.RELEASED:
        raise Forbidden("This visit belongs to another school; a school changes its own visits.")
    raise NotFound("There is no such visit.")


def _keep_acknowledged(before: VisitRecord, after: VisitRecord) -> None:
    """An alert that says the same again was seen already."""
    seen = {(row.alert, row.message): row for row in before.alerts if row.acknowledged_at is not None}
    for row in after.alerts:
        if (known := seen.get((row.alert, row.message))) is not None:
            row.acknowledged_at, row.acknowledged_by = known.acknowledged_at, known.acknowledged_by
