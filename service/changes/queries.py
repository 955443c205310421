"""SQL of the register of changes."""

from datetime import UTC, datetime

import sqlalchemy as sa
from sqlmodel import Session

from service.changes.tables import Change, ChangeCounter, Subject


def record_change(session: Session, subject: Subject, subject_id: str, key_id: str | None) -> int:
    """Write that something changed; call it last, since it makes other writers wait for the commit.

    Returns
    -------
    int
        The change's number: of two changes, the one that commits first has the smaller.
    """
    counter = ChangeCounter.__table__  # type: ignore[attr-defined]
    number = session.execute(
        sa.update(counter).values(last=counter.c.last + 1).returning(counter.c.last)
    ).scalar_one()
    session.execute(
        sa.insert(Change).values(
            number=number, subject=subject, subject_id=subject_id, key_id=key_id, at=datetime.now(UTC)
        )
    )
    return int(number)
