"""For which school a sheet is sent."""

from sqlmodel import Session

from service.core.errors import BadQuery, Forbidden
from service.schools.caller import Caller
from service.schools.queries import school_by_code


def school_of_sheet(session: Session, caller: Caller, named: str | None) -> str:
    """Return the code of the school: the caller's own, or the one that the coordinator names.

    Raises
    ------
    Forbidden
        A school names another one.
    BadQuery
        None is named, or one that does not exist.
    """
    if caller.school is not None and named not in (None, caller.school):
        raise Forbidden("A school sends sheets of its own visits.")
    school = named or caller.school
    if school is None:
        raise BadQuery("school: name the school whose visits these are")
    if school_by_code(session, school) is None:
        raise BadQuery(f"school: there is no school {school}")
    return school
