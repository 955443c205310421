"""What was handed in of a visit, revision by revision."""

from datetime import UTC
from uuid import UUID

from sqlmodel import Session

from service.core.errors import NotFound
from service.schools.caller import Caller
from service.visits.answers import RevisionAnswer, RevisionsAnswer
from service.visits.queries import visit_by_id
from service.visits.rebuild_body import rebuild_body
from service.visits.records.queries import load_revisions


def revisions_of(session: Session, caller: Caller, visit_id: UUID) -> RevisionsAnswer:
    """Return the revisions of a visit of the caller's own school.

    Raises
    ------
    NotFound
        There is no such visit that this caller may see into.
    """
    visit = visit_by_id(session, visit_id)
    if visit is None or not caller.sees_school(visit.school):
        raise NotFound("There is no such visit of your school.")
    return RevisionsAnswer(
        items=[
            RevisionAnswer(
                revision=record.revision.revision,
                received_at=record.revision.received_at.astimezone(UTC),
                key_id=record.revision.key_id,
                handed_in=rebuild_body(record),
            )
            for record in load_revisions(session, visit)
        ]
    )
