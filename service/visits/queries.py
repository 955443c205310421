"""SQL of visits: which are asked for, who may see them, and what the checks ask of the past."""

from collections.abc import Sequence
from datetime import date
from typing import Any
from uuid import UUID

import sqlalchemy as sa
from sqlmodel import Session, col

from service.science.flags import Flag
from service.science.types import VisitKind
from service.science.watershed_code import WatershedCode
from service.sites.queries import inside, shown_inside
from service.sites.tables import NetworkKit, Site
from service.visits.question import IN_THE_RECORD, Question
from service.visits.tables import State, Visit, VisitReading, VisitRevision

Row = sa.RowMapping | dict[str, Any]
Rows = Sequence[Row]


def current(part: Any) -> sa.ColumnElement[bool]:
    """Return the condition that joins a part to the revision that counts."""
    return sa.and_(part.visit_id == col(Visit.id), part.revision == col(Visit.revision))


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
    if question.box is not None:
        conditions.append(
            shown_inside(question.box, question.own_school, sees_everything=question.sees_everything)
        )
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


def visit_by_id(session: Session, visit_id: UUID) -> Visit | None:
    """Return the register's row of a visit, or ``None``."""
    return session.get(Visit, visit_id)


def visit_to_change(session: Session, visit_id: UUID) -> Visit | None:
    """Return a visit, kept from all other writers until the end of the request, or ``None``."""
    return session.get(Visit, visit_id, with_for_update=True, populate_existing=True)


def newest_blank(session: Session, school: str, lot: str) -> sa.RowMapping | None:
    """Return flag and local date of the newest blank in the record that was made with a box, or ``None``."""
    found = (
        sa.select(col(VisitReading.flag), col(Visit.observed_on))
        .select_from(Visit)
        .join(VisitReading, current(VisitReading))
        .where(
            col(Visit.school) == school,
            col(Visit.kind) == VisitKind.FIELD_BLANK,
            col(Visit.state).in_(IN_THE_RECORD),
            col(VisitReading.kit_lot) == lot,
            col(VisitReading.value).is_not(None),
        )
        .order_by(col(Visit.observed_at).desc(), col(Visit.id).desc(), col(VisitReading.position).desc())
    )
    return session.execute(found.limit(1)).mappings().first()


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


def days_around(
    session: Session, within: WatershedCode, parameters: Sequence[str], first: date, last: date
) -> Rows:
    """Return the anomalies of routine visits in a watershed between two dates, the earliest first."""
    columns: tuple[Any, ...] = (
        col(Visit.id).label("visit_id"),
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
            col(Visit.kind) == VisitKind.ROUTINE,
            col(Visit.state).in_(IN_THE_RECORD),
            col(Visit.observed_on).between(first, last),
            col(VisitReading.parameter).in_(parameters),
            col(VisitReading.anomaly).is_not(None),
        )
        .order_by(col(Visit.observed_on), col(Visit.id))
    )
    return session.execute(found).mappings().all()
