"""Enter a criterion of the network, and change what may change about it."""

from datetime import UTC, datetime

from sqlmodel import Session

from service.changes.queries import record_change
from service.changes.tables import Deed, Subject
from service.core.database import insert_new
from service.core.errors import Conflict, FieldError, Invalid, NotFound
from service.criteria.queries import criterion_by_code
from service.criteria.schemas import CriterionBody, CriterionPatch
from service.criteria.tables import NetworkCriterion
from service.reference.load import load_catalogue
from service.schools.caller import Caller
from service.science.qa.wording import number_words, unit_words
from service.science.units import convert


def create_criterion(session: Session, caller: Caller, body: CriterionBody) -> NetworkCriterion:
    """Enter a new criterion, its limits in the parameter's unit of storage.

    Raises
    ------
    Conflict
        The code is taken, here or among the defaults.
    Invalid
        A limit lies where the parameter can have no value.
    """
    taken = f"There is already a criterion {body.code}; choose another code."
    if body.code in load_catalogue().criteria:
        raise Conflict(taken)
    watershed = body.watershed.read() if body.watershed else None
    at_least, at_most = _limits(body)
    criterion = NetworkCriterion(
        **body.model_dump(exclude={"unit", "watershed", "at_least", "at_most"}),
        at_least=at_least,
        at_most=at_most,
        watershed_scheme=watershed.scheme if watershed else None,
        watershed_code=watershed.code if watershed else None,
        created_at=datetime.now(UTC),
    )
    insert_new(session, criterion, taken)
    record_change(session, Subject.CRITERION, criterion.code, caller.key_text, Deed.MADE)
    return criterion


def change_criterion(session: Session, caller: Caller, code: str, patch: CriterionPatch) -> NetworkCriterion:
    """Change what a patch names: name, source or last day.

    Raises
    ------
    NotFound
        The network has no such criterion.
    Invalid
        The last day would come before the first.
    """
    criterion = criterion_by_code(session, code)
    if criterion is None:
        raise NotFound("The network has no such criterion; those of the catalogue do not change.")
    for name, value in patch.model_dump(exclude_unset=True).items():
        setattr(criterion, name, value)
    if criterion.applies_until is not None and criterion.applies_until < criterion.applies_from:
        told = f"must not be before its first day, {criterion.applies_from}"
        raise Invalid([FieldError("/applies_until", told)])
    session.flush()
    fields = ", ".join(sorted(patch.model_fields_set))
    record_change(session, Subject.CRITERION, criterion.code, caller.key_text, what=fields)
    return criterion


def _limits(body: CriterionBody) -> tuple[float | None, float | None]:
    """Return lower and upper limit in the unit of storage."""
    parameter = load_catalogue().parameters[body.parameter]
    lowest, highest = parameter.physical_min, parameter.physical_max
    errors, limits = [], []
    for name, written in (("at_least", body.at_least), ("at_most", body.at_most)):
        limit = None if written is None else convert(written, body.unit, parameter.unit)
        limits.append(limit)
        if limit is not None and not lowest <= limit <= highest:
            span = f"{number_words(lowest)} to {number_words(highest)}{unit_words(parameter.unit)}"
            errors.append(FieldError(f"/{name}", f"{parameter.name} lies within {span}; check the unit"))
    if errors:
        raise Invalid(errors)
    return limits[0], limits[1]
