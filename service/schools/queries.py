"""SQL of schools and keys."""

from collections.abc import Sequence
from uuid import UUID

import sqlalchemy as sa
from sqlmodel import Session, col, select

from service.schools.tables import AccessKey, School


def school_by_code(session: Session, code: str) -> School | None:
    """Return a school, or ``None``."""
    return session.get(School, code)


def schools_after(session: Session, code: str, limit: int) -> Sequence[School]:
    """Return schools in the order of their codes, beginning after ``code``."""
    found = select(School).where(col(School.code) > code).order_by(col(School.code)).limit(limit)
    return session.exec(found).all()


def key_by_fingerprint(session: Session, fingerprint: str) -> AccessKey | None:
    """Return the key with this fingerprint, or ``None``."""
    return session.exec(select(AccessKey).where(AccessKey.fingerprint == fingerprint)).first()


def key_by_id(session: Session, key_id: UUID) -> AccessKey | None:
    """Return a key, or ``None``."""
    return session.get(AccessKey, key_id)


def keys_after(session: Session, key_id: UUID, limit: int) -> Sequence[AccessKey]:
    """Return keys in the order in which they were made, beginning after ``key_id``."""
    found = select(AccessKey).where(col(AccessKey.id) > key_id).order_by(col(AccessKey.id)).limit(limit)
    return session.exec(found).all()


def count_schools(session: Session) -> int:
    """Return how many schools the network has."""
    return int(session.exec(select(sa.func.count()).select_from(School)).one())
