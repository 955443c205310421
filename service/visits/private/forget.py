"""Take what is private to a school out of the register, for good. What was measured stays."""

from collections.abc import Mapping
from dataclasses import dataclass

from sqlmodel import Session

from service.changes.queries import record_changes
from service.changes.tables import Deed, Subject
from service.core.errors import FieldError, Forbidden, Invalid, NotFound
from service.schools.caller import Caller
from service.schools.queries import school_by_code
from service.schools.tables import School
from service.visits.private.queries import (
    NOTES,
    PLACE,
    TEAM,
    Holding,
    count_revisions,
    drop_answers_about,
    drop_mappings,
    empty,
    take_names_of_teams,
    visits_holding,
)

PARTS = {"notes": NOTES, "teams": TEAM, "places": PLACE}


@dataclass(frozen=True, slots=True)
class Forgotten:
    """What was taken out: revisions by part, of how many visits, whether a contact was, how many mappings."""

    revisions: Mapping[str, int]
    visits: int
    contact: bool
    mappings: int


def own_school(session: Session, caller: Caller, code: str, *, for_update: bool = False) -> School:
    """Return a school whose private parts are the caller's.

    Raises
    ------
    NotFound
        There is no such school.
    Forbidden
        It is another one than the caller's; that it exists is no secret.
    """
    school = school_by_code(session, code, for_update=for_update)
    if school is None:
        raise NotFound("There is no such school.")
    if not caller.sees_school(code):
        raise Forbidden("What is private to a school is for that school and the coordinator alone.")
    return school


def forget_private(session: Session, caller: Caller, code: str, confirmed: str) -> Forgotten:
    """Remove notes, codes of teams, exact places of devices from all revisions, contact and mappings.

    The hashes of what was handed in stay, so a visit that is sent again is still known.

    Raises
    ------
    NotFound, Forbidden
        As for `own_school`.
    Invalid
        The school's code was not repeated.
    """
    school = own_school(session, caller, code, for_update=True)
    if confirmed != code:
        raise Invalid([FieldError("/confirm", f"write {code} to confirm; what is removed cannot come back")])
    held = {part: Holding(columns, code) for part, columns in PARTS.items()}
    counted = {part: count_revisions(session, holding) for part, holding in held.items()}
    visits = sorted({one for holding in held.values() for one in visits_holding(session, holding)})
    empty(session, held["notes"])
    empty(session, held["places"])
    take_names_of_teams(session, code)
    drop_answers_about(session, code)
    mappings = drop_mappings(session, code)
    had_contact = school.contact_email is not None
    school.contact_email = None
    session.flush()
    ids = [str(visit_id) for visit_id in visits]
    record_changes(session, Subject.VISIT, ids, caller.key_text, Deed.CHANGED, "private parts removed")
    record_changes(session, Subject.SCHOOL, [code], caller.key_text, Deed.CHANGED, "private parts removed")
    record_changes(session, Subject.MAPPING, mappings, caller.key_text, Deed.REMOVED, f"of {code}")
    return Forgotten(counted, len(visits), had_contact, len(mappings))
