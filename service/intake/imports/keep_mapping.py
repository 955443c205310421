"""Keep how a school's own sheets are read, under a name that the school gives."""

import re
from datetime import UTC, datetime

from sqlmodel import Session

from service.changes.queries import record_change
from service.changes.tables import Deed, Subject
from service.core.database import insert_new
from service.core.errors import FieldError, Invalid, NotFound
from service.core.schema import CODE_PATTERN
from service.intake.imports.queries import drop_mapping, mapping_by_code
from service.intake.mapping.schemas import Mapping
from service.schools.caller import Caller
from service.schools.queries import school_by_code
from service.schools.tables import KeptMapping


def find_mapping(session: Session, caller: Caller, school: str, code: str) -> KeptMapping:
    """Return a mapping of a school.

    Raises
    ------
    NotFound
        There is none, or it is another school's: what that one keeps is nobody's business.
    """
    found = mapping_by_code(session, school, code) if caller.sees_school(school) else None
    if found is None:
        raise NotFound("There is no such mapping.")
    return found


def require_own(session: Session, caller: Caller, school: str) -> None:
    """Let only a school itself and the coordinator at its mappings.

    Raises
    ------
    NotFound
        There is no such school, or it is another one.
    """
    if not caller.sees_school(school) or school_by_code(session, school) is None:
        raise NotFound("There are no such mappings.")


def keep_mapping(
    session: Session, caller: Caller, school: str, code: str, mapping: Mapping
) -> tuple[KeptMapping, bool]:
    """Keep a mapping in place of the one that had its name, and tell whether the name is new.

    Raises
    ------
    NotFound
        As for `require_own`.
    Invalid
        The name is no code.
    Conflict
        Somebody else gave the same new name at this moment.
    """
    require_own(session, caller, school)
    if not re.fullmatch(CODE_PATTERN, code):
        told = "name the mapping in the address by lower-case letters, digits, hyphens and underscores"
        raise Invalid([FieldError("", told)])
    content = mapping.model_dump(mode="json", exclude_unset=True)
    now = datetime.now(UTC)
    kept = mapping_by_code(session, school, code)
    is_new = kept is None
    if kept is None:
        kept = KeptMapping(school=school, code=code, content=content, changed_at=now)
        insert_new(session, kept, "This mapping was made just now by somebody else; look at it first.")
    else:
        kept.content, kept.changed_at = content, now
        session.flush()
    deed = Deed.MADE if is_new else Deed.CHANGED
    record_change(session, Subject.MAPPING, code, caller.key_text, deed, f"of {school}")
    return kept, is_new


def remove_mapping(session: Session, caller: Caller, school: str, code: str) -> KeptMapping:
    """Remove a mapping, and return what it was.

    Raises
    ------
    NotFound
        As for `find_mapping`.
    """
    kept = find_mapping(session, caller, school, code)
    drop_mapping(session, kept)
    record_change(session, Subject.MAPPING, code, caller.key_text, Deed.REMOVED, f"of {school}")
    return kept
