"""SQL of schools and keys."""

from collections.abc import Sequence
from datetime import date, datetime
from uuid import UUID

import sqlalchemy as sa
from sqlalchemy import Engine
from sqlalchemy.exc import IntegrityError
from sqlmodel import Session, col, select

from service.schools.tables import AccessKey, AnsweredOnce, School


def school_by_code(session: Session, code: str, *, for_update: bool = False) -> School | None:
    """Return a school, kept from other writers if it is to change with what hangs on it, or ``None``."""
    return session.get(School, code, with_for_update=for_update or None)


def schools_after(session: Session, code: str, limit: int) -> Sequence[School]:
    """Return schools in the order of their codes, beginning after ``code``."""
    found = select(School).where(col(School.code) > code).order_by(col(School.code)).limit(limit)
    return session.exec(found).all()


def key_by_fingerprint(session: Session, fingerprint: str) -> AccessKey | None:
    """Return the key with this fingerprint, or ``None``."""
    return session.exec(select(AccessKey).where(AccessKey.fingerprint == fingerprint)).first()


def keep_use(engine: Engine, key_id: UUID, at: datetime) -> None:
    """Write when a key was used, in a transaction of its own, where nothing as new stands there."""
    used = col(AccessKey.last_used_at)
    older = sa.and_(col(AccessKey.id) == key_id, sa.or_(used.is_(None), used < at))
    with engine.begin() as connection:
        connection.execute(sa.update(AccessKey).where(older).values(last_used_at=at))


def key_by_id(session: Session, key_id: UUID) -> AccessKey | None:
    """Return a key, or ``None``."""
    return session.get(AccessKey, key_id)


def oldest_key(session: Session) -> AccessKey | None:
    """Return the first key that this network made, whether it still works or not."""
    return session.exec(select(AccessKey).order_by(col(AccessKey.id)).limit(1)).first()


def live_keys(session: Session, school: str, on: date) -> int:
    """Return how many keys of a school work on a day."""
    mine = sa.and_(col(AccessKey.school) == school, col(AccessKey.revoked_at).is_(None))
    in_time = sa.or_(col(AccessKey.expires_on).is_(None), col(AccessKey.expires_on) >= on)
    return int(session.exec(select(sa.func.count()).select_from(AccessKey).where(mine, in_time)).one())


def keys_after(session: Session, key_id: UUID, limit: int) -> Sequence[AccessKey]:
    """Return keys in the order in which they were made, beginning after ``key_id``."""
    found = select(AccessKey).where(col(AccessKey.id) > key_id).order_by(col(AccessKey.id)).limit(limit)
    return session.exec(found).all()


def claim_answer(
    session: Session, caller: str, token: str, address: str, content_hash: str, at: datetime
) -> bool:
    """Take a caller's token for this request; false when it was taken before.

    Where the other request is still at work, this waits until it is done or has failed.
    """
    row = AnsweredOnce(caller=caller, token=token, address=address, content_hash=content_hash, at=at)
    try:
        with session.begin_nested():
            session.execute(sa.insert(AnsweredOnce).values(row.model_dump()))
    except IntegrityError:
        return False
    return True


def keep_answer(session: Session, caller: str, token: str, answer: str) -> None:
    """Keep what the request of a token is answered."""
    mine = sa.and_(col(AnsweredOnce.caller) == caller, col(AnsweredOnce.token) == token)
    session.execute(sa.update(AnsweredOnce).where(mine).values(answer=answer))


def answered_before(session: Session, caller: str, token: str) -> AnsweredOnce:
    """Return what a token stands for, which was claimed before."""
    return session.get_one(AnsweredOnce, (caller, token))


def count_schools(session: Session) -> int:
    """Return how many schools the network has."""
    return int(session.exec(select(sa.func.count()).select_from(School)).one())
