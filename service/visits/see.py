"""Which visits a caller may see."""

from uuid import UUID

from sqlmodel import Session

from service.schools.caller import Caller
from service.sites.queries import site_by_code
from service.sites.tables import Site
from service.visits.queries import visit_by_id
from service.visits.record import VisitRecord
from service.visits.records.queries import load_record
from service.visits.tables import State


def visit_for(session: Session, caller: Caller, visit_id: UUID) -> tuple[VisitRecord, Site] | None:
    """Return a visit and its site, or ``None`` where there is none that this caller may know of."""
    visit = visit_by_id(session, visit_id)
    if visit is None or not (visit.state is State.RELEASED or caller.sees_school(visit.school)):
        return None
    site = site_by_code(session, visit.site)
    assert site is not None  # a foreign key holds it
    return load_record(session, visit), site
