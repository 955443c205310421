"""SQL of the mappings that schools keep."""

from collections.abc import Sequence

from sqlmodel import Session, col, select

from service.schools.tables import KeptMapping


def mapping_by_code(session: Session, school: str, code: str) -> KeptMapping | None:
    """Return a mapping of a school, or ``None``."""
    return session.get(KeptMapping, (school, code))


def mappings_after(session: Session, school: str, code: str, limit: int) -> Sequence[KeptMapping]:
    """Return mappings of a school in the order of their codes, beginning after one."""
    found = select(KeptMapping).where(col(KeptMapping.school) == school, col(KeptMapping.code) > code)
    return session.exec(found.order_by(col(KeptMapping.code)).limit(limit)).all()


def drop_mapping(session: Session, kept: KeptMapping) -> None:
    """Remove a mapping."""
    session.delete(kept)
    session.flush()
