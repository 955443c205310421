"""Enter a kit of the network's own, and find the kit that a reading names."""

from collections.abc import Collection
from datetime import UTC, datetime

from sqlmodel import Session

from service.changes.queries import record_change
from service.changes.tables import Deed, Subject
from service.core.database import insert_new
from service.core.errors import Conflict, FieldError, Invalid
from service.reference.load import load_catalogue
from service.schools.caller import Caller
from service.science.types import Kit
from service.sites.queries import kits_by_codes
from service.sites.schemas import KitBody
from service.sites.tables import NetworkKit


def create_kit(session: Session, caller: Caller, body: KitBody) -> NetworkKit:
    """Enter a new kit.

    Raises
    ------
    Conflict
        The code is taken, here or in the catalogue.
    Invalid
        The parameter is unknown or is not measured in this unit.
    """
    catalogue = load_catalogue()
    taken = f"There is already a kit {body.code}; choose another code."
    if body.code in catalogue.kits:
        raise Conflict(taken)
    parameter = catalogue.parameters.get(body.parameter)
    if parameter is None:
        known = ", ".join(catalogue.parameters)
        raise Invalid([FieldError("/parameter", f"{body.parameter} is not a parameter; known are {known}")])
    if body.unit not in parameter.units:
        units = ", ".join(parameter.units)
        raise Invalid([FieldError("/unit", f"{parameter.name} is measured in {units}, not in {body.unit}")])
    kit = NetworkKit(**body.model_dump(), created_at=datetime.now(UTC))
    insert_new(session, kit, taken)
    record_change(session, Subject.KIT, kit.code, caller.key_text, Deed.MADE)
    return kit


def find_kits(session: Session, codes: Collection[str]) -> dict[str, Kit]:
    """Return the kits behind codes, of the catalogue or the network's own; unknown codes are absent."""
    listed = load_catalogue().kits
    found: dict[str, Kit] = {code: listed[code] for code in codes if code in listed}
    for row in kits_by_codes(session, set(codes) - set(found)):
        fields = row.model_dump(exclude={"created_at", "marks"})
        found[row.code] = Kit(**fields, marks=tuple(row.marks or ()))
    return found
