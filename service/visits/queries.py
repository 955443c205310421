"""SQL of visits: storing a revision whole, reading it back whole, and what the checks ask of the past."""

from collections.abc import Sequence
from datetime import date, datetime
from typing import Any, TypeVar
from uuid import UUID

import sqlalchemy as sa
from sqlmodel import Session, SQLModel, col, select

from service.science.flags import Flag
from service.visits.record import VisitRecord
from service.visits.tables import (
    State,
    Visit,
    VisitCount,
    VisitDerived,
    VisitFinding,
    VisitReading,
    VisitRevision,
    VisitScore,
)

Part = TypeVar("Part", bound=SQLModel)
IN_THE_RECORD = (State.HELD, State.RELEASED)


def current(part: Any) -> sa.ColumnElement[bool]:
    """Return the condition that joins a part to the revision that counts."""
    return sa.and_(part.visit_id == col(Visit.id), part.revision == col(Visit.revision))


def insert_record(session: Session, record: VisitRecord) -> None:
    """Store the first revision of a visit: one statement a table."""
    session.execute(sa.insert(Visit), [record.visit.model_dump()])
    parts: Sequence[tuple[type[SQLModel], Sequence[SQLModel]]] = (
        (VisitRevision, [record.revision]),
        (VisitReading, record.readings),
        (VisitCount, record.counts),
        (VisitFinding, record.findings),
        (VisitDerived, record.derived),
        (VisitScore, record.scores),
    )
    for table, rows in parts:
        if rows:
            session.execute(sa.insert(table), [row.model_dump() for row in rows])


def visit_by_id(session: Session, visit_id: UUID) -> Visit | None:
    """Return the register's row of a visit, or ``None``."""
    return session.get(Visit, visit_id)


def load_record(session: Session, visit: Visit) -> VisitRecord:
    """Return a visit with the revision that counts."""
    revision = session.get(VisitRevision, (visit.id, visit.revision))
    assert revision is not None  # the register never points at a revision that is not there

    def parts(table: type[Part], *order: str) -> Sequence[Part]:
        columns = sa.inspect(table).columns
        found = select(table).where(columns.visit_id == visit.id, columns.revision == visit.revision)
        return session.exec(found.order_by(*(columns[name] for name in order))).all()

    return VisitRecord(
        visit=visit,
        revision=revision,
        readings=parts(VisitReading, "position"),
        counts=parts(VisitCount, "position"),
        findings=parts(VisitFinding, "position", "check"),
        derived=parts(VisitDerived, "parameter"),
        scores=parts(VisitScore, "index", "definition"),
    )


def past_readings(session: Session, site: str, parameters: Sequence[str], before: date) -> Sequence[Any]:
    """Return the accepted readings of a site on earlier dates: parameter, date, value, censoring, kit.

    Accepted is what passed, or was not evaluated, in a visit that is in the record.
    """
    found = (
        sa.select(
            col(VisitReading.parameter),
            col(Visit.observed_on),
            col(VisitReading.value),
            col(VisitReading.censored),
            col(VisitReading.kit),
        )
        .join(Visit, current(VisitReading))
        .where(
            col(Visit.site) == site,
            col(Visit.observed_on) < before,
            col(Visit.state).in_(IN_THE_RECORD),
            col(VisitReading.parameter).in_(parameters),
            col(VisitReading.flag).in_((Flag.PASS, Flag.NOT_EVALUATED)),
            col(VisitReading.value).is_not(None),
        )
        .order_by(col(Visit.observed_on))
    )
    return session.execute(found).all()


def twins_of(
    session: Session, site: str, observed_at: datetime, team: str | None, visit_id: UUID | None
) -> Sequence[UUID]:
    """Return other visits in the record of the same team at the same site and instant."""
    found = (
        select(col(Visit.id))
        .join(
            VisitRevision,
            sa.and_(
                col(VisitRevision.visit_id) == col(Visit.id),
                col(VisitRevision.revision) == col(Visit.revision),
            ),
        )
        .where(
            col(Visit.site) == site,
            col(Visit.observed_at) == observed_at,
            col(Visit.state).in_(IN_THE_RECORD),
            col(VisitRevision.team).is_(None) if team is None else col(VisitRevision.team) == team,
        )
    )
    if visit_id is not None:
        found = found.where(col(Visit.id) != visit_id)
    return session.exec(found).all()
