"""Take a visit back: it leaves the record and the public's sight, and stays readable for its school."""

from uuid import UUID

from sqlmodel import Session

from service.changes.queries import record_change
from service.changes.tables import Deed, Subject
from service.core.etag import require_match
from service.core.settings import Settings
from service.schools.caller import Caller
from service.sites.queries import site_by_code
from service.sites.tables import Site
from service.visits.follow_blank import follow_blank
from service.visits.record import VisitRecord
from service.visits.records.queries import load_record
from service.visits.revise import changeable
from service.visits.show_visit import visit_tag
from service.visits.tables import State


def withdraw_visit(
    session: Session, settings: Settings, caller: Caller, visit_id: UUID, if_match: str | None
) -> tuple[VisitRecord, Site]:
    """Withdraw a visit; one that was withdrawn before stays so.

    Raises
    ------
    NotFound
        There is no such visit that the caller may change.
    PreconditionFailed
        An ``If-Match`` was sent and names something else than what stands.
    """
    visit = changeable(session, caller, visit_id)
    record = load_record(session, visit)
    site = site_by_code(session, visit.site)
    assert site is not None  # a foreign key holds it
    if visit.state is State.WITHDRAWN:
        return record, site
    if if_match is not None:
        require_match(if_match, visit_tag(record, site, caller, settings))
    visit.enter(State.WITHDRAWN)
    session.flush()
    follow_blank(session, record)
    record_change(session, Subject.VISIT, str(visit.id), caller.key_text, Deed.WITHDRAWN)
    return record, site
