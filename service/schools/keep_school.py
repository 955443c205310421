"""Enter a school into the network, and change what is known of it."""

from datetime import UTC, datetime

from sqlmodel import Session

from service.changes.queries import record_change
from service.changes.tables import Deed, Subject
from service.core.database import insert_new
from service.core.errors import NotFound
from service.schools.caller import Caller
from service.schools.queries import school_by_code
from service.schools.schemas import SchoolBody, SchoolPatch
from service.schools.tables import School


def create_school(session: Session, caller: Caller, body: SchoolBody) -> School:
    """Enter a new school.

    Raises
    ------
    Conflict
        The code is taken.
    """
    school = School(**body.model_dump(), created_at=datetime.now(UTC))
    insert_new(session, school, f"There is already a school {body.code}; change it with PATCH.")
    record_change(session, Subject.SCHOOL, school.code, caller.key_text, Deed.MADE)
    return school


def change_school(session: Session, caller: Caller, code: str, patch: SchoolPatch) -> School:
    """Change what a patch names, and nothing else.

    Raises
    ------
    NotFound
        There is no such school.
    """
    school = school_by_code(session, code)
    if school is None:
        raise NotFound(f"There is no school {code}.")
    for name, value in patch.model_dump(exclude_unset=True).items():
        setattr(school, name, value)
    session.flush()
    fields = ", ".join(sorted(patch.model_fields_set))
    record_change(session, Subject.SCHOOL, school.code, caller.key_text, what=fields)
    return school
