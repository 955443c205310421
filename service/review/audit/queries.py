"""SQL of the audit trail."""

from collections.abc import Collection, Sequence
from uuid import UUID

from sqlmodel import Session, col, select

from service.changes.tables import Change, Subject
from service.schools.tables import AccessKey


def trail_before(
    session: Session, number: int, limit: int, subject: Subject | None, subject_id: str | None
) -> Sequence[Change]:
    """Return changes with smaller numbers, the newest first."""
    found = select(Change).where(col(Change.number) < number)
    if subject is not None:
        found = found.where(col(Change.subject) == subject)
    if subject_id is not None:
        found = found.where(col(Change.subject_id) == subject_id)
    return session.exec(found.order_by(col(Change.number).desc()).limit(limit)).all()


def keys_among(session: Session, key_ids: Collection[UUID]) -> dict[str, AccessKey]:
    """Return keys by their ids as the register of changes writes them."""
    found = session.exec(select(AccessKey).where(col(AccessKey.id).in_(key_ids))).all()
    return {str(key.id): key for key in found}
