"""SQL of visits: storing a revision whole, reading it back whole, and what the checks ask of the past."""

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any, TypeVar
from uuid import UUID

import sqlalchemy as sa
from sqlmodel import Session, SQLModel, col, select

from service.science.flags import Flag
from service.science.qa.registry import CHECKS
from service.science.scores.registry import INDICES
from service.science.types import VisitKind
from service.science.watershed_code import WatershedCode
from service.sites.queries import inside
from service.sites.tables import NetworkKit, Site
from service.visits.question import IN_THE_RECORD, Question
from service.visits.record import VisitRecord
from service.visits.tables import (
    State,
    Visit,
    VisitAlert,
    VisitCount,
    VisitDerived,
    VisitFinding,
    VisitReading,
    VisitRevision,
    VisitScore,
)

Part = TypeVar("Part", bound=SQLModel)
Rows = Sequence[sa.RowMapping]
# A visit is read back in the order in which it was answered when it was handed in.
CHECK_PLACES = {check.id: place for place, check in enumerate(CHECKS)}
INDEX_PLACES = {index.id: place for place, index in enumerate(INDICES)}


def current(part: Any) -> sa.ColumnElement[bool]:
    """Return the condition that joins a part to the revision that counts."""
    return sa.and_(part.visit_id == col(Visit.id), part.revision == col(Visit.revision))


def _table(kind: type[SQLModel]) -> sa.Table:
    """Return the table behind a class: rows go in without the unit of work, which costs more than they do."""
    return SQLModel.metadata.tables[str(kind.__tablename__)]


def usable() -> sa.ColumnElement[bool]:
    """Return the condition that a measured reading counts: it passed, was not evaluated, or was let stand."""
    flags = (Flag.PASS, Flag.NOT_EVALUATED)
    stands = sa.or_(col(VisitReading.flag).in_(flags), col(VisitReading.accepted).is_(True))
    return sa.and_(col(VisitReading.value).is_not(None), stands)


def asked(question: Question) -> list[sa.ColumnElement[bool]]:
    """Return the conditions of a question; every list of visits uses these, and visibility lives here."""
    conditions: list[sa.ColumnElement[bool]] = [col(Visit.state).in_(question.states)]
    if not question.sees_everything:
        released = col(Visit.state) == State.RELEASED
        own = col(Visit.school) == question.own_school
        conditions.append(released if question.own_school is None else sa.or_(released, own))
    if question.watershed is not None:
        conditions.append(inside(question.watershed))
    if question.since is not None:
        conditions.append(col(Visit.observed_on) >= question.since)
    if question.until is not None:
        conditions.append(col(Visit.observed_on) <= question.until)
    exact: tuple[tuple[Any, Any], ...] = (
        (Visit.site, question.site),
        (Site.stream, question.stream),
        (Visit.school, question.school),
        (Visit.kind, question.kind),
    )
    conditions += [col(column) == wanted for column, wanted in exact if wanted is not None]
    return conditions


def insert_record(session: Session, record: VisitRecord) -> None:
    """Store the first revision of a visit: one statement a table."""
    session.execute(sa.insert(_table(Visit)), [record.visit.model_dump()])
    parts: Sequence[tuple[type[SQLModel], Sequence[SQLModel]]] = (
        (VisitRevision, [record.revision]),
        (VisitReading, record.readings),
        (VisitCount, record.counts),
        (VisitFinding, record.findings),
        (VisitDerived, record.derived),
        (VisitScore, record.scores),
        (VisitAlert, record.alerts),
    )
    for table, rows in parts:
        if rows:
            session.execute(sa.insert(_table(table)), [row.model_dump() for row in rows])


def replace_findings(session: Session, record: VisitRecord) -> None:
    """Store anew what the checks say of a revision."""
    _replace(session, record, VisitFinding, record.findings)


def replace_conclusions(session: Session, record: VisitRecord) -> None:
    """Store anew what follows from a revision's readings: derived values and scores."""
    _replace(session, record, VisitDerived, record.derived)
    _replace(session, record, VisitScore, record.scores)


def _replace(session: Session, record: VisitRecord, table: type[SQLModel], rows: Sequence[SQLModel]) -> None:
    columns = sa.inspect(table).columns
    session.execute(
        sa.delete(table).where(columns.visit_id == record.visit.id, columns.revision == record.visit.revision)
    )
    if rows:
        session.execute(sa.insert(_table(table)), [row.model_dump() for row in rows])


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
        findings=sorted(
            parts(VisitFinding), key=lambda row: (row.position, CHECK_PLACES.get(row.check, len(CHECKS)))
        ),
        derived=parts(VisitDerived, "parameter"),
        scores=sorted(
            parts(VisitScore), key=lambda row: (INDEX_PLACES.get(row.index, len(INDICES)), row.definition)
        ),
        alerts=parts(VisitAlert, "alert"),
    )


def site_past(session: Session, site: str, parameters: Sequence[str], until: date) -> Rows:
    """Return the visits in the record of a site up to a date, a row for each usable reading of them.

    A visit without a usable reading of the parameters has one row with nulls.
    """
    columns: tuple[Any, ...] = (
        col(Visit.id).label("visit_id"),
        col(Visit.kind),
        col(Visit.observed_at),
        col(Visit.observed_on),
        col(VisitRevision.team),
        col(VisitRevision.received_at),
        col(VisitRevision.catch_hash),
        col(VisitReading.parameter),
        col(VisitReading.value),
        col(VisitReading.censored),
        col(VisitReading.kit),
        col(VisitReading.residual),
        col(NetworkKit.kind).label("network_kit_kind"),
    )
    found = (
        sa.select(*columns)
        .join(VisitRevision, current(VisitRevision))
        .outerjoin(
            VisitReading,
            sa.and_(
                current(VisitReading),
                col(VisitReading.parameter).in_(parameters),
                usable(),
            ),
        )
        .outerjoin(NetworkKit, col(NetworkKit.code) == col(VisitReading.kit))
        .where(col(Visit.site) == site, col(Visit.observed_on) <= until, col(Visit.state).in_(IN_THE_RECORD))
        .order_by(col(Visit.observed_on), col(Visit.id))
    )
    return session.execute(found).mappings().all()


def week_around(
    session: Session, site: Site, parameters: Sequence[str], on: date, days: int, within: WatershedCode
) -> Rows:
    """Return the anomalies of other sites of a watershed within some days of a date, nearest day first."""
    columns: tuple[Any, ...] = (
        col(Visit.site),
        col(Visit.observed_on),
        col(VisitReading.parameter),
        col(VisitReading.anomaly),
        col(VisitReading.kit),
        col(NetworkKit.kind).label("network_kit_kind"),
    )
    found = (
        sa.select(*columns)
        .join(VisitReading, current(VisitReading))
        .join(Site, col(Site.code) == col(Visit.site))
        .outerjoin(NetworkKit, col(NetworkKit.code) == col(VisitReading.kit))
        .where(
            inside(within),
            col(Visit.site) != site.code,
            col(Visit.kind) == VisitKind.ROUTINE,
            col(Visit.state).in_(IN_THE_RECORD),
            col(Visit.observed_on).between(on - timedelta(days=days), on + timedelta(days=days)),
            col(VisitReading.parameter).in_(parameters),
            col(VisitReading.anomaly).is_not(None),
        )
        .order_by(col(Visit.observed_on), col(Visit.id))
    )
    return session.execute(found).mappings().all()
