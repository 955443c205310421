"""SQL of the register of changes."""

from collections.abc import Sequence
from datetime import UTC, datetime

import sqlalchemy as sa
from sqlmodel import Session, col

from service.changes.tables import Change, ChangeCounter, Deed, Subject


def newest_change(session: Session) -> tuple[int, datetime] | None:
    """Return number and time of the newest change; after a backup is put back, a number may come again."""
    found = sa.select(col(Change.number), col(Change.at)).order_by(col(Change.number).desc()).limit(1)
    row = session.execute(found).first()
    return None if row is None else (row.number, row.at)


def record_change(
    session: Session,
    subject: Subject,
    subject_id: str,
    key_id: str | None,
    action: Deed = Deed.CHANGED,
    what: str = "",
) -> int:
    """Write that something changed; call it last, since it makes other writers wait for the commit.

    ``key_id`` is the key of the one who did it, ``None`` for the network's own commands; ``what`` names in a
    few words the part that changed.

    Returns
    -------
    int
        The change's number: of two changes, the one that commits first has the smaller.
    """
    return record_changes(session, subject, [subject_id], key_id, action, what)


def record_changes(
    session: Session,
    subject: Subject,
    subject_ids: Sequence[str],
    key_id: str | None,
    action: Deed,
    what: str,
) -> int:
    """Write the same change of several things, and return the number of the last one."""
    counter = ChangeCounter.__table__  # type: ignore[attr-defined]
    last = session.execute(
        sa.update(counter).values(last=counter.c.last + len(subject_ids)).returning(counter.c.last)
    ).scalar_one()
    common = {"subject": subject, "action": action, "what": what[:300], "key_id": key_id}
    now = datetime.now(UTC)
    first = last - len(subject_ids) + 1
    rows = [
        common | {"number": number, "subject_id": subject_id, "at": now}
        for number, subject_id in enumerate(subject_ids, first)
    ]
    if rows:
        session.execute(sa.insert(Change), rows)
    return int(last)
