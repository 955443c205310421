"""Who is calling: the key in the request, turned into a role."""

import hmac
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Annotated
from uuid import UUID

from fastapi import Depends, Request
from fastapi.security import HTTPAuthorizationCredentials, HTTPBearer
from sqlmodel import Session

from service.core.database import RequestSession
from service.core.errors import Forbidden, Unauthenticated
from service.core.settings import Settings
from service.core.tokens import fingerprint, is_well_formed
from service.schools.note_use import note_use
from service.schools.queries import key_by_fingerprint
from service.schools.tables import Role

BEARER = HTTPBearer(auto_error=False, scheme_name="key", description="A key of this network: `Bearer wb_…`.")


@dataclass(frozen=True, slots=True)
class Caller:
    """The one who asks. Without a key ``role`` is ``None``: the public."""

    role: Role | None = None
    school: str | None = None
    key_id: UUID | None = None

    @property
    def is_coordinator(self) -> bool:
        """Whether the caller steers the network and sees everything."""
        return self.role is Role.COORDINATOR

    @property
    def key_text(self) -> str | None:
        """The key's id as the register of changes keeps it."""
        return None if self.key_id is None else str(self.key_id)

    def sees_school(self, school: str) -> bool:
        """Tell whether the caller may see what is private to a school."""
        return self.is_coordinator or (self.school is not None and self.school == school)


def _caller_of(request: Request, session: Session, token: str) -> Caller:
    sought = fingerprint(token)
    key = key_by_fingerprint(session, sought) if is_well_formed(token) else None
    if key is None or not hmac.compare_digest(key.fingerprint.encode(), sought.encode()):
        raise Unauthenticated("This key is not known here; check that it was copied whole.")
    if key.revoked_at is not None:
        raise Unauthenticated("This key was revoked; ask the coordinator for a new one.")
    if key.expires_on is not None and key.expires_on < datetime.now(UTC).date():
        raise Unauthenticated(f"This key expired on {key.expires_on}; ask the coordinator for a new one.")
    request.state.key_id = str(key.id)
    note_use(request, key)
    return Caller(key.role, key.school, key.id)


def read_caller(
    request: Request,
    session: RequestSession,
    credentials: Annotated[HTTPAuthorizationCredentials | None, Depends(BEARER)],
) -> Caller:
    """Return who may be answered; the public only where the network lets it read."""
    if credentials is not None:
        return _caller_of(request, session, credentials.credentials)
    if "authorization" in request.headers:
        raise Unauthenticated("Send the key as `Authorization: Bearer wb_…`.")
    settings: Settings = request.app.state.settings
    if not settings.public_read:
        raise Unauthenticated("This network answers only with a key: `Authorization: Bearer wb_…`.")
    return Caller()


ReadCaller = Annotated[Caller, Depends(read_caller)]


def writing_caller(
    request: Request,
    session: RequestSession,
    credentials: Annotated[HTTPAuthorizationCredentials | None, Depends(BEARER)],
) -> Caller:
    """Return a caller who may hand in visits: a school or the coordinator."""
    if credentials is None:
        raise Unauthenticated("A key is needed: `Authorization: Bearer wb_…`.")
    return writing_caller_with(request, session, credentials.credentials)


def writing_caller_with(request: Request, session: Session, token: str) -> Caller:
    """Return the caller whose key this is, if he may hand in visits; the key came in a header or a form.

    Raises
    ------
    Unauthenticated
        The key is not good, or no longer.
    Forbidden
        Its role is to read only.
    """
    request.state.key_tried = True  # what the door counts, where the key is wrong
    caller = _caller_of(request, session, token)
    if caller.role is Role.READER:
        raise Forbidden("A reader's key cannot change anything; use a school's or the coordinator's key.")
    return caller


WritingCaller = Annotated[Caller, Depends(writing_caller)]


def coordinator(caller: WritingCaller) -> Caller:
    """Return the caller if it is the coordinator."""
    if not caller.is_coordinator:
        raise Forbidden("Only the coordinator may do this.")
    return caller


Coordinator = Annotated[Caller, Depends(coordinator)]
