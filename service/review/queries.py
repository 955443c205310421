"""SQL of the review: what is held and why, the decisions, the alerts."""

from collections.abc import Collection, Sequence
from datetime import date, timedelta
from typing import Any
from uuid import UUID

import sqlalchemy as sa
from sqlalchemy.orm import aliased
from sqlmodel import Session, col, select

from service.review.tables import Decision
from service.science.flags import DOUBTED, Flag
from service.science.types import VisitKind
from service.science.watershed_code import WatershedCode
from service.sites.queries import inside
from service.sites.tables import Site
from service.visits.queries import asked, current, usable
from service.visits.question import IN_THE_RECORD, Question
from service.visits.tables import (
    Visit,
    VisitAlert,
    VisitFinding,
    VisitReading,
    VisitRevision,
)

Rows = Sequence[sa.RowMapping]
HeldVisit = tuple[Visit, VisitRevision, Site, int, int]
RaisedAlert = tuple[VisitAlert, Visit]


def decisions_of(session: Session, visit_ids: Collection[UUID]) -> Sequence[Decision]:
    """Return the decisions about these visits, all revisions, the oldest first."""
    found = select(Decision).where(col(Decision.visit_id).in_(visit_ids))
    return session.exec(found.order_by(col(Decision.decided_at), col(Decision.id))).all()


def _unseen_alert() -> sa.ColumnElement[bool]:
    """Return the condition that a visit has an alert which nobody has looked at."""
    unseen = sa.select(col(VisitAlert.alert)).where(
        current(VisitAlert), col(VisitAlert.acknowledged_at).is_(None)
    )
    return unseen.correlate(Visit).exists()


def held_after(
    session: Session, question: Question, limit: int, after: Sequence[Any] | None
) -> Sequence[HeldVisit]:
    """Return visits of a question, the worst first, with the numbers that order them before their receipt."""
    severity = sa.case((col(Visit.flag) == Flag.FAIL, 0), (col(Visit.flag) == Flag.SUSPECT, 1), else_=2)
    quiet = sa.case((_unseen_alert(), 0), else_=1)
    order: tuple[Any, ...] = (severity, quiet, col(VisitRevision.received_at), col(Visit.id))
    found = (
        sa.select(Visit, VisitRevision, Site, severity.label("severity"), quiet.label("quiet"))
        .join(VisitRevision, current(VisitRevision))
        .join(Site, col(Site.code) == col(Visit.site))
        .where(*asked(question))
    )
    if after is not None:
        found = found.where(_row(order) > _key(order, after))
    return [tuple(row) for row in session.execute(found.order_by(*order).limit(limit))]


def readings_of(session: Session, visit_ids: Collection[UUID]) -> Sequence[VisitReading]:
    """Return the readings of these visits, in the order of visit and position."""
    return _parts(session, VisitReading, visit_ids, "position")


def doubts_of(session: Session, visit_ids: Collection[UUID]) -> Sequence[VisitFinding]:
    """Return what the checks of these visits found suspect or failed, in the order of position and check."""
    return _parts(session, VisitFinding, visit_ids, "position", "check", only=DOUBTED)


def alerts_of(session: Session, visit_ids: Collection[UUID]) -> Sequence[VisitAlert]:
    """Return the alerts of these visits."""
    return _parts(session, VisitAlert, visit_ids, "alert")


def _row(order: Sequence[Any]) -> sa.Tuple:
    return sa.tuple_(*order)


def _key(order: Sequence[Any], values: Sequence[Any]) -> sa.Tuple:
    """Return the key of a row that was seen, each value in the type of its column."""
    return sa.tuple_(*(sa.literal(value, column.type) for value, column in zip(values, order, strict=True)))


def _parts(
    session: Session, table: Any, visit_ids: Collection[UUID], *order: str, only: Collection[Flag] = ()
) -> Sequence[Any]:
    columns = sa.inspect(table).columns
    found = sa.select(table).join(Visit, current(table)).where(col(Visit.id).in_(visit_ids))
    if only:
        found = found.where(columns.flag.in_(only))
    return session.scalars(found.order_by(columns.visit_id, *(columns[name] for name in order))).all()


def site_history(session: Session, wanted: Collection[tuple[UUID, str]], newest: int) -> Rows:
    """Return for each visit and parameter the newest usable readings of its site, its own day included."""
    if not wanted:
        return []
    at: Any = aliased(Visit)
    rank = sa.func.row_number().over(
        partition_by=(at.id, col(VisitReading.parameter)),
        order_by=(col(Visit.observed_on).desc(), col(Visit.id).desc(), col(VisitReading.position)),
    )
    ranked = (
        sa.select(
            at.id.label("visit_id"),
            col(VisitReading.parameter),
            col(Visit.observed_on),
            col(VisitReading.value),
            col(VisitReading.censored),
            col(VisitReading.kit),
            col(VisitReading.flag),
            rank.label("rank"),
        )
        .select_from(at)
        .join(Visit, sa.and_(col(Visit.site) == at.site, col(Visit.observed_on) <= at.observed_on))
        .join(VisitReading, current(VisitReading))
        .where(
            sa.tuple_(at.id, col(VisitReading.parameter)).in_(list(wanted)),
            col(Visit.id) != at.id,
            col(Visit.kind) == VisitKind.ROUTINE,
            col(Visit.state).in_(IN_THE_RECORD),
            usable(),
        )
        .subquery()
    )
    found = sa.select(ranked).where(ranked.c.rank <= newest).order_by(ranked.c.visit_id, ranked.c.rank)
    return session.execute(found).mappings().all()


NEIGHBOUR_COLUMNS: tuple[Any, ...] = (
    col(Visit.site),
    col(Site.watershed_scheme),
    col(Site.watershed_code),
    col(Visit.observed_on),
    col(VisitReading.parameter),
    col(VisitReading.value),
    col(VisitReading.censored),
    col(VisitReading.kit),
    col(VisitReading.flag),
)


def neighbour_readings(
    session: Session,
    around: Collection[tuple[WatershedCode, str, date]],
    parameters: Collection[str],
    days: int,
) -> Rows:
    """Return the readings of other sites around places and dates: watershed, own site, local date."""
    if not around or not parameters:
        return []
    span = timedelta(days=days)
    near = [
        sa.and_(inside(within), col(Visit.site) != site, col(Visit.observed_on).between(on - span, on + span))
        for within, site, on in around
    ]
    found = (
        sa.select(*NEIGHBOUR_COLUMNS)
        .select_from(Visit)
        .join(Site, col(Site.code) == col(Visit.site))
        .join(VisitReading, current(VisitReading))
        .where(
            sa.or_(*near),
            col(Visit.kind) == VisitKind.ROUTINE,
            col(Visit.state).in_(IN_THE_RECORD),
            col(VisitReading.parameter).in_(sorted(parameters)),
            col(VisitReading.value).is_not(None),
        )
        .order_by(col(Visit.observed_on), col(Visit.site), col(Visit.id), col(VisitReading.position))
    )
    return session.execute(found).mappings().all()


def alerts_after(
    session: Session,
    question: Question,
    limit: int,
    after: Sequence[Any] | None,
    *,
    acknowledged: bool | None,
) -> Sequence[RaisedAlert]:
    """Return the alerts of the visits of a question, the newest first."""
    order: tuple[Any, ...] = (col(VisitAlert.raised_at), col(Visit.id), col(VisitAlert.alert))
    found = sa.select(VisitAlert, Visit).join(Visit, current(VisitAlert)).join(Site).where(*asked(question))
    if acknowledged is not None:
        seen = col(VisitAlert.acknowledged_at).is_not(None)
        found = found.where(seen if acknowledged else sa.not_(seen))
    if after is not None:
        found = found.where(_row(order) < _key(order, after))
    newest_first = (column.desc() for column in order)
    return [tuple(row) for row in session.execute(found.order_by(*newest_first).limit(limit))]


def alert_of(session: Session, visit_id: UUID, alert: str) -> RaisedAlert | None:
    """Return an alert of the revision of a visit that counts, or ``None``."""
    found = sa.select(VisitAlert, Visit).join(Visit, current(VisitAlert))
    row = session.execute(found.where(col(Visit.id) == visit_id, col(VisitAlert.alert) == alert)).first()
    return None if row is None else tuple(row)


def visits_from(
    session: Session, since: date | None, after: tuple[date, UUID] | None, limit: int
) -> Sequence[Visit]:
    """Return visits in the record by date and id, from a date on and beginning after a key.

    Nobody else writes them until the transaction ends.
    """
    found = _in_order(sa.select(Visit), since, after)
    return session.execute(found.limit(limit).with_for_update(of=Visit)).scalars().all()


def visits_to_score(
    session: Session, since: date | None, after: tuple[date, UUID] | None, limit: int
) -> Sequence[tuple[Visit, Site, str]]:
    """Return visits as :func:`visits_from` does, each with its site and what it was scored with."""
    found = sa.select(Visit, Site, col(VisitRevision.scored_with))
    found = found.join(Site, col(Site.code) == col(Visit.site)).join(VisitRevision, current(VisitRevision))
    found = _in_order(found, since, after).limit(limit).with_for_update(of=Visit)
    return [tuple(row) for row in session.execute(found)]


def _in_order(found: Any, since: date | None, after: tuple[date, UUID] | None) -> Any:
    order = (col(Visit.observed_on), col(Visit.id))
    found = found.where(col(Visit.state).in_(IN_THE_RECORD)).order_by(*order)
    if since is not None:
        found = found.where(col(Visit.observed_on) >= since)
    return found if after is None else found.where(sa.tuple_(*order) > sa.tuple_(*after))
