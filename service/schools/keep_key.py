"""Make and revoke keys."""

from datetime import UTC, date, datetime
from uuid import UUID

from sqlmodel import Session

from service.core.errors import FieldError, Invalid, NotFound
from service.core.tokens import fingerprint, new_token
from service.schools.queries import key_by_id, school_by_code
from service.schools.tables import AccessKey, Role


def create_key(
    session: Session, role: Role, school: str | None, label: str, expires_on: date | None = None
) -> tuple[AccessKey, str]:
    """Make a key and return it with its token, which is shown once and not kept.

    Raises
    ------
    Invalid
        The school does not exist.
    """
    if school is not None and school_by_code(session, school) is None:
        raise Invalid([FieldError("/school", f"there is no school {school}; enter it first")])
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
    return key, token


def revoke_key(session: Session, key_id: UUID) -> AccessKey:
    """Take a key out of use at once; a key revoked before stays as it was.

    Raises
    ------
    NotFound
        There is no such key.
    """
    key = key_by_id(session, key_id)
    if key is None:
        raise NotFound("There is no such key.")
    key.revoked_at = key.revoked_at or datetime.now(UTC)
    session.flush()
    return key
