"""The alerts that visits raised: a page of them, and the coordinator's word that one was seen."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime
from typing import Any
from uuid import UUID

from pydantic import TypeAdapter
from sqlmodel import Session

from service.core.errors import BadQuery, NotFound
from service.core.paging import read_cursor
from service.core.schema import Instant
from service.review.answers import AlertRow
from service.review.queries import RaisedAlert, alert_of, alerts_after
from service.schools.caller import Caller
from service.visits.question import Question
from service.visits.show_visit import shown_alert

INSTANT: TypeAdapter[datetime] = TypeAdapter(Instant)


def raised_alerts(
    session: Session, question: Question, cursor: str | None, limit: int, acknowledged: bool | None
) -> Sequence[RaisedAlert]:
    """Return alerts, the newest first, beginning after a cursor."""
    after = _key_in(cursor) if cursor is not None else None
    return alerts_after(session, replace(question, kind=None), limit, after, acknowledged=acknowledged)


def alert_key(raised: RaisedAlert) -> list[str | int]:
    """Return what orders the alerts."""
    row, visit = raised
    return [row.raised_at.isoformat(), str(visit.id), row.alert]


def _key_in(cursor: str) -> tuple[Any, ...]:
    raised_at, visit_id, alert = read_cursor(cursor, [str, str, str])
    try:
        if not (str(alert).isascii() and str(alert).isprintable()):
            raise ValueError("no alert has this name")
        return INSTANT.validate_python(raised_at), UUID(str(visit_id)), alert
    except ValueError:
        raise BadQuery("cursor: not one that this list gave; start again without it") from None


def acknowledge(session: Session, caller: Caller, visit_id: UUID, alert: str) -> RaisedAlert:
    """Note that the coordinator has seen an alert; the first time and key stay.

    Raises
    ------
    NotFound
        The visit, as it counts now, raised no such alert.
    """
    raised = alert_of(session, visit_id, alert)
    if raised is None:
        raise NotFound("This visit raised no such alert.")
    row, _ = raised
    if row.acknowledged_at is None:
        row.acknowledged_at, row.acknowledged_by = datetime.now(UTC), caller.key_text
        session.flush()
    return raised


def shown_raised(raised: RaisedAlert, caller: Caller, who_to_call: str) -> AlertRow:
    """Return an alert with the visit that raised it."""
    row, visit = raised
    return AlertRow(
        **shown_alert(row, who_to_call).model_dump(),
        visit_id=visit.id,
        revision=visit.revision,
        state=visit.state,
        site=visit.site,
        school=visit.school,
        observed_on=visit.observed_on,
        raised_at=row.raised_at,
        acknowledged_at=row.acknowledged_at,
        acknowledged_by=row.acknowledged_by if caller.is_coordinator else None,
    )
