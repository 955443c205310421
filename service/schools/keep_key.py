"""Make and revoke keys."""

from datetime import UTC, date, datetime
from uuid import UUID

from sqlmodel import Session

from service.changes.queries import record_change
from service.changes.tables import Deed, Subject
from service.core.errors import FieldError, Invalid, NotFound
from service.core.tokens import fingerprint, new_token
from service.schools.queries import key_by_id, live_keys, school_by_code
from service.schools.tables import AccessKey, Role

LIVE_KEYS_OF_A_SCHOOL = 2


def create_key(
    session: Session,
    role: Role,
    school: str | None,
    label: str,
    expires_on: date | None = None,
    by: str | None = None,
) -> tuple[AccessKey, str]:
    """Make a key and return it with its token, which is shown once and not kept.

    ``by`` is the key of the one who makes it, ``None`` for the command of the network itself.

    Raises
    ------
    Invalid
        The school does not exist, or has as many live keys as it may.
    """
    if school is not None:
        _require_room(session, school)
    token = new_token()
    key = AccessKey(
        role=role,
        school=school,
        label=label,
        fingerprint=fingerprint(token),
        created_at=datetime.now(UTC),
        expires_on=expires_on,
    )
    session.add(key)
    session.flush()
    record_change(session, Subject.KEY, str(key.id), by, Deed.MADE, f"{role} {label}")
    return key, token


def _require_room(session: Session, school: str) -> None:
    if school_by_code(session, school, for_update=True) is None:
        raise Invalid([FieldError("/school", f"there is no school {school}; enter it first")])
    today = datetime.now(UTC).date()
    if live_keys(session, school, today) >= LIVE_KEYS_OF_A_SCHOOL:
        told = f"{school} has {LIVE_KEYS_OF_A_SCHOOL} keys in use, the old one and the new; revoke one first"
        raise Invalid([FieldError("/school", told)])


def revoke_key(session: Session, key_id: UUID, by: str | None = None) -> AccessKey:
    """Take a key out of use at once; a key revoked before stays as it was.

    Raises
    ------
    NotFound
        There is no such key.
    """
    key = key_by_id(session, key_id)
    if key is None:
        raise NotFound("There is no such key.")
    if key.revoked_at is None:
        key.revoked_at = datetime.now(UTC)
        session.flush()
        record_change(session, Subject.KEY, str(key.id), by, Deed.REMOVED, f"{key.role} {key.label}")
    return key
