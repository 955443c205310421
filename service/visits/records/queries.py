"""SQL of whole visits: storing a revision, reading revisions back, storing anew what follows from them."""

from collections import defaultdict
from collections.abc import Callable, Collection, Sequence
from typing import Any, TypeVar
from uuid import UUID

import sqlalchemy as sa
from sqlmodel import Session, SQLModel, col, select

from service.core.copy_rows import copy_rows
from service.science.qa.registry import CHECKS
from service.science.scores.registry import INDICES
from service.visits.queries import current
from service.visits.record import VisitRecord
from service.visits.tables import (
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
# A visit is read back in the order in which it was answered when it was handed in.
CHECK_PLACES = {check.id: place for place, check in enumerate(CHECKS)}
INDEX_PLACES = {index.id: place for place, index in enumerate(INDICES)}


def _table(kind: type[SQLModel]) -> sa.Table:
    """Return the table behind a class: rows go in without the unit of work, which costs more than they do."""
    return SQLModel.metadata.tables[str(kind.__tablename__)]


def insert_record(session: Session, record: VisitRecord) -> None:
    """Store the first revision of a visit: one statement a table."""
    insert_records(session, [record])


def insert_records(session: Session, records: Sequence[VisitRecord]) -> None:
    """Store the first revisions of visits: one statement a table for all of them."""
    session.execute(sa.insert(_table(Visit)), [record.visit.model_dump() for record in records])
    _insert_parts(session, records)


def insert_revision(session: Session, record: VisitRecord) -> None:
    """Store a further revision of a visit and let it count; the older ones stay as they are."""
    fields = record.visit.model_dump(exclude={"id"})
    session.execute(sa.update(_table(Visit)).where(col(Visit.id) == record.visit.id).values(**fields))
    _insert_parts(session, [record])


def _insert_parts(session: Session, records: Sequence[VisitRecord]) -> None:
    parts: Sequence[tuple[type[SQLModel], list[SQLModel]]] = (
        (VisitRevision, [record.revision for record in records]),
        (VisitReading, [row for record in records for row in record.readings]),
        (VisitCount, [row for record in records for row in record.counts]),
        (VisitFinding, [row for record in records for row in record.findings]),
        (VisitDerived, [row for record in records for row in record.derived]),
        (VisitScore, [row for record in records for row in record.scores]),
        (VisitAlert, [row for record in records for row in record.alerts]),
    )
    for table, rows in parts:
        _insert(session, table, rows)


def replace_findings(session: Session, record: VisitRecord) -> None:
    """Store anew what the checks say of a revision."""
    _replace(session, [record], VisitFinding, record.findings)


def replace_conclusions(session: Session, records: Sequence[VisitRecord]) -> None:
    """Store anew what follows from the readings of revisions: derived values and scores."""
    _replace(session, records, VisitDerived, [row for record in records for row in record.derived])
    _replace(session, records, VisitScore, [row for record in records for row in record.scores])


def _replace(
    session: Session, records: Sequence[VisitRecord], table: type[SQLModel], rows: Sequence[SQLModel]
) -> None:
    columns = sa.inspect(table).columns
    revisions = [(record.visit.id, record.visit.revision) for record in records]
    session.execute(sa.delete(table).where(sa.tuple_(columns.visit_id, columns.revision).in_(revisions)))
    _insert(session, table, rows)


def _insert(session: Session, kind: type[SQLModel], rows: Sequence[SQLModel]) -> None:
    if not rows:
        return
    table, connection = _table(kind), session.connection()
    if connection.dialect.name == "postgresql" and len(rows) > 1:
        copy_rows(connection, table, map(vars, rows))
        return
    names = table.columns.keys()
    connection.execute(sa.insert(table), [{name: vars(row)[name] for name in names} for row in rows])


def load_record(session: Session, visit: Visit) -> VisitRecord:
    """Return a visit with the revision that counts."""
    return load_records(session, [visit])[0]


def load_records(session: Session, visits: Sequence[Visit]) -> list[VisitRecord]:
    """Return visits with the revisions that count, in the order given: one question a table."""
    ids = [visit.id for visit in visits]
    revisions = _parts(session, VisitRevision, ids, lambda row: ())
    readings = _parts(session, VisitReading, ids, lambda row: row.position)
    counts = _parts(session, VisitCount, ids, lambda row: row.position)
    findings = _parts(session, VisitFinding, ids, _place_of_finding)
    derived = _parts(session, VisitDerived, ids, lambda row: row.parameter)
    scores = _parts(session, VisitScore, ids, _place_of_score)
    alerts = _parts(session, VisitAlert, ids, lambda row: row.alert)
    return [
        VisitRecord(
            visit=visit,
            revision=revisions[visit.id][0],
            readings=readings[visit.id],
            counts=counts[visit.id],
            findings=findings[visit.id],
            derived=derived[visit.id],
            scores=scores[visit.id],
            alerts=alerts[visit.id],
        )
        for visit in visits
    ]


def _parts(
    session: Session, table: type[Part], visit_ids: Sequence[UUID], place: Callable[[Part], Any]
) -> dict[UUID, list[Part]]:
    found = select(table).join(Visit, current(table)).where(col(Visit.id).in_(visit_ids))
    grouped: defaultdict[UUID, list[Any]] = defaultdict(list)
    for row in session.exec(found):
        grouped[sa.inspect(row).identity[0]].append(row)
    return defaultdict(list, {visit_id: sorted(rows, key=place) for visit_id, rows in grouped.items()})


def load_revisions(session: Session, visit: Visit) -> list[VisitRecord]:
    """Return what was handed in of a visit, the oldest revision first, without what followed from it."""
    revisions = session.exec(
        select(VisitRevision).where(VisitRevision.visit_id == visit.id).order_by(col(VisitRevision.revision))
    ).all()
    readings = session.exec(
        select(VisitReading).where(VisitReading.visit_id == visit.id).order_by(col(VisitReading.position))
    ).all()
    counts = session.exec(
        select(VisitCount).where(VisitCount.visit_id == visit.id).order_by(col(VisitCount.position))
    ).all()
    return [
        VisitRecord(
            visit=visit,
            revision=row,
            readings=[reading for reading in readings if reading.revision == row.revision],
            counts=[count for count in counts if count.revision == row.revision],
            findings=[],
            derived=[],
            scores=[],
            alerts=[],
        )
        for row in revisions
    ]


def known_contents(session: Session, visit_ids: Collection[UUID]) -> dict[UUID, tuple[Visit, list[str]]]:
    """Return the visits of these ids that are stored, each with the hashes of its revisions, oldest first."""
    found = (
        select(Visit, col(VisitRevision.content_hash))
        .join(VisitRevision, col(VisitRevision.visit_id) == col(Visit.id))
        .where(col(Visit.id).in_(visit_ids))
        .order_by(col(VisitRevision.revision))
    )
    known: dict[UUID, tuple[Visit, list[str]]] = {}
    for visit, content_hash in session.exec(found):
        known.setdefault(visit.id, (visit, []))[1].append(content_hash)
    return known


def hashes_of(session: Session, visit_id: UUID) -> Sequence[str]:
    """Return what tells the contents of a visit's revisions apart, the oldest first."""
    found = select(VisitRevision.content_hash).where(VisitRevision.visit_id == visit_id)
    return session.exec(found.order_by(col(VisitRevision.revision))).all()


def _place_of_finding(row: VisitFinding) -> tuple[int, int]:
    return row.position, CHECK_PLACES.get(row.check, len(CHECKS))


def _place_of_score(row: VisitScore) -> tuple[int, str, int]:
    return INDEX_PLACES.get(row.index, len(INDICES)), row.index, row.definition
