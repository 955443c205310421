"""Decide about a visit: release it, reject it, or set the flag of one reading, with a reason that stays."""

from datetime import UTC, datetime
from uuid import UUID

from sqlmodel import Session

from service.changes.queries import record_change
from service.changes.tables import Deed, Subject
from service.core.errors import Conflict, FieldError, Invalid, NotFound
from service.review.schemas import DecisionBody
from service.review.tables import Action, Decision
from service.schools.caller import Caller
from service.science.flags import Flag
from service.sites.queries import site_by_code
from service.sites.tables import Site
from service.visits.effective_flag import flag_of_visit
from service.visits.follow_blank import follow_blank
from service.visits.queries import visit_to_change
from service.visits.reconclude import reconclude
from service.visits.record import VisitRecord
from service.visits.records.queries import load_record
from service.visits.tables import State, Visit, VisitReading

STATES = {Action.RELEASE: State.RELEASED, Action.REJECT: State.REJECTED}


def decide(session: Session, caller: Caller, visit_id: UUID, body: DecisionBody) -> tuple[VisitRecord, Site]:
    """Carry out a decision about the revision that counts, and return the visit as it then stands.

    Raises
    ------
    NotFound
        There is no such visit.
    Conflict
        The visit was changed since it was looked at, was withdrawn, or is already as decided.
    Invalid
        The decision does not say which reading gets which flag, or says it where it must not.
    """
    visit = visit_to_change(session, visit_id)
    if visit is None:
        raise NotFound("There is no such visit.")
    _require_current(visit, body)
    record = load_record(session, visit)
    reading = _reading_of(record, body)
    decision = Decision(
        visit_id=visit.id,
        revision=visit.revision,
        action=body.action,
        position=body.reading,
        flag_before=reading.flag if reading else None,
        flag=Flag(body.flag) if body.flag else None,
        state_before=visit.state,
        state=STATES.get(body.action, visit.state),
        reason=body.reason,
        key_id=caller.key_text,
        decided_at=datetime.now(UTC),
    )
    if not _carry_out(record, decision, reading):
        raise Conflict("The visit is already as this decision would make it; nothing was changed.")
    session.add(decision)
    session.flush()
    site = site_by_code(session, visit.site)
    assert site is not None  # a foreign key holds it
    if reading is not None:
        record = reconclude(session, record, site)
    follow_blank(session, record)
    record_change(session, Subject.VISIT, str(visit.id), caller.key_text, Deed.DECIDED, body.action)
    return record, site


def _require_current(visit: Visit, body: DecisionBody) -> None:
    if visit.state is State.WITHDRAWN:
        raise Conflict("The school has withdrawn this visit; there is nothing left to decide.")
    if body.revision is not None and body.revision != visit.revision:
        raise Conflict(
            f"The school has changed this visit since: revision {visit.revision} counts now, not "
            f"{body.revision}. Look at it again, then decide."
        )


def _reading_of(record: VisitRecord, body: DecisionBody) -> VisitReading | None:
    """Return the reading whose flag is set, or ``None`` for a decision about the whole visit."""
    given = {"reading": body.reading, "flag": body.flag}
    if body.action is not Action.SET_FLAG:
        told = f"belongs to set-flag only; leave it out to {body.action} the whole visit"
        errors = [FieldError(f"/{name}", told) for name, value in given.items() if value is not None]
        if errors:
            raise Invalid(errors)
        return None
    wanted = {
        "reading": "is missing; say which reading, counted from 0",
        "flag": "is missing; say which flag shall stand: 1 pass, 2 not evaluated, 3 suspect or 4 fail",
    }
    errors = [FieldError(f"/{name}", told) for name, told in wanted.items() if given[name] is None]
    reading = next((row for row in record.readings if row.position == body.reading), None)
    if body.reading is not None and reading is None:
        told = f"the visit has {len(record.readings)} readings, counted from 0; there is no {body.reading}"
        errors.append(FieldError("/reading", told))
    elif reading is not None and reading.value is None:
        errors.append(FieldError("/reading", "was planned but not measured; it has no flag to set"))
    if errors:
        raise Invalid(errors)
    return reading


def _carry_out(record: VisitRecord, decision: Decision, reading: VisitReading | None) -> bool:
    """Change state and flags as decided, and tell whether anything was changed.

    Who releases a visit lets its suspect readings stand; a set flag speaks for itself.
    """
    before = _standing(record)
    if reading is not None:
        assert decision.flag is not None  # a reading is named together with its flag
        reading.flag, reading.accepted = decision.flag, False
    else:
        for row in record.readings:
            row.accepted = decision.action is Action.RELEASE and row.flag is Flag.SUSPECT
    record.visit.enter(decision.state)
    record.visit.flag = flag_of_visit(record)
    return _standing(record) != before


def _standing(record: VisitRecord) -> list[object]:
    return [record.visit.state, *((row.flag, row.accepted) for row in record.readings)]
