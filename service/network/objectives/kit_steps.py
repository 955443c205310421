"""The smallest step of the kit behind a value of 0, by which nothing can be divided."""

from collections.abc import Iterable, Mapping
from uuid import UUID

from sqlmodel import Session

from service.network.objectives.visit_values import VisitValue
from service.reference.load import load_catalogue
from service.science.kit_step import step_at
from service.sites.keep_kit import find_kits

Steps = Mapping[tuple[UUID, str], float]


def steps_at_zero(session: Session, values: Iterable[VisitValue]) -> Steps:
    """Return the step [unit of storage] by visit and parameter of every number that is not above 0.

    Where no kit is named it is the smallest step that any kit of the catalogue has there: the true value can
    hardly be known more closely.
    """
    zeros = [value for value in values if value.is_number and value.says[0] <= 0.0]
    named = find_kits(session, {code for value in zeros for code in value.kits})
    catalogue = load_catalogue()
    found: dict[tuple[UUID, str], float] = {}
    for value in zeros:
        own = [named[code] for code in value.kits if code in named]
        unit = catalogue.parameters[value.parameter].unit
        steps = (step_at(kit, 0.0, unit) for kit in own or catalogue.kits_for(value.parameter))
        known = [step for step in steps if step is not None]
        if known:
            found[value.visit_id, value.parameter] = min(known)
    return found
