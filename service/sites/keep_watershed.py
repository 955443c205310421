"""Enter a watershed, and give it its name."""

from sqlmodel import Session

from service.changes.queries import record_change
from service.changes.tables import Subject
from service.core.database import insert_new
from service.core.errors import Conflict
from service.schools.caller import Caller
from service.science.watershed_code import WatershedCode
from service.sites.queries import watershed_by_code
from service.sites.tables import Watershed


def name_it(session: Session, caller: Caller, code: WatershedCode, name: str) -> Watershed:
    """Give a watershed its name, which everybody then reads."""
    watershed = enter_watershed(session, code, name)
    record_change(session, Subject.WATERSHED, f"{code.scheme}:{code.code}", caller.key_text, what="name")
    return watershed


def enter_watershed(session: Session, code: WatershedCode, name: str | None = None) -> Watershed:
    """Return the watershed, entered now if it was not there; a name replaces the one it had."""
    watershed = watershed_by_code(session, code)
    if watershed is None:
        watershed = Watershed(scheme=code.scheme, code=code.code)
        try:
            insert_new(session, watershed, "entered by another request at this moment")
        except Conflict:
            found = watershed_by_code(session, code)
            assert found is not None  # it stands now, whoever entered it
            watershed = found
    watershed.name = name or watershed.name
    session.flush()
    return watershed
