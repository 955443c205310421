"""The id of a visit that comes in a file: the same whenever the file is sent, and told to nobody who guesses.

An id is public, the time of day at which a class stands at a creek is not. So the id is made with something
that only this network holds: whoever knows site and date cannot try all minutes of the day.
"""

import json
from datetime import UTC, datetime
from uuid import UUID, uuid5

from sqlmodel import Session

from service.core.errors import NotFound
from service.schools.queries import oldest_key

IMPORTS = UUID("5c1f4a86-2d0e-5b7c-9a53-e0d6c2b7f914")


def own_namespace(session: Session) -> UUID:
    """Return what the ids of this network's imported visits are made under.

    Raises
    ------
    NotFound
        There is no key yet, and so no network.
    """
    oldest = oldest_key(session)
    if oldest is None:
        raise NotFound("This network has no key yet; make one with wadebook key create.")
    return uuid5(IMPORTS, oldest.fingerprint)


def visit_id_of(
    namespace: UUID, school: str, site: str, instant: datetime, team: str | None, kind: str, apart: str
) -> UUID:
    """Return the id of a visit of a school at a place and moment.

    Reference
    ---------
    RFC 9562 (2024), Universally Unique IDentifiers, section 5.5.
    """
    moment = instant.astimezone(UTC).isoformat(timespec="seconds")
    return uuid5(namespace, json.dumps([school, site, moment, team, kind, apart]))
