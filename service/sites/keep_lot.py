"""A school's own boxes of kits: enter one, find the one a reading names, and note how its blank came out."""

from collections.abc import Collection
from datetime import UTC, date, datetime

from sqlmodel import Session

from service.changes.queries import record_change
from service.changes.tables import Deed, Subject
from service.core.database import insert_new
from service.core.errors import FieldError, Forbidden, Invalid
from service.schools.caller import Caller
from service.schools.queries import school_by_code
from service.sites.keep_kit import find_kits
from service.sites.queries import lot_by_code, lots_by_codes
from service.sites.schemas import LotBody
from service.sites.tables import SchoolKitLot


def create_lot(session: Session, caller: Caller, body: LotBody) -> SchoolKitLot:
    """Enter a box of a kit that a school has.

    Raises
    ------
    Forbidden
        The box belongs to another school.
    Conflict
        The school has a box of this code.
    Invalid
        The school or the kit does not exist.
    """
    if not caller.sees_school(body.school):
        raise Forbidden("A school enters its own boxes only.")
    errors = []
    if school_by_code(session, body.school) is None:
        errors.append(FieldError("/school", f"there is no school {body.school}"))
    if body.kit not in find_kits(session, {body.kit}):
        errors.append(FieldError("/kit", f"there is no kit {body.kit}; see /v1/catalogue/kits"))
    if errors:
        raise Invalid(errors)
    lot = SchoolKitLot(**body.model_dump(), created_at=datetime.now(UTC))
    taken = f"There is already a box {body.code} at this school; give the new box another code."
    insert_new(session, lot, taken)
    record_change(session, Subject.KIT_LOT, f"{lot.school}/{lot.code}"[:64], caller.key_text, Deed.MADE)
    return lot


def find_lots(session: Session, school: str, codes: Collection[str]) -> dict[str, SchoolKitLot]:
    """Return a school's boxes behind codes; unknown codes are absent."""
    return {lot.code: lot for lot in lots_by_codes(session, school, codes)}


def note_blank(session: Session, school: str, code: str, failed_on: date | None) -> None:
    """Write how the newest blank of a box came out: the day it showed colour, or nothing for a clean one."""
    lot = lot_by_code(session, school, code)
    assert lot is not None  # the reading was checked against it
    lot.blank_failed_on = failed_on
    session.flush()
