"""SQL of the report on the quality of the readings."""

from collections.abc import Collection, Sequence
from typing import Any

import sqlalchemy as sa
from sqlalchemy.orm import aliased
from sqlmodel import Session, col

from service.science.flags import DOUBTED, Flag
from service.science.types import VisitKind
from service.sites.tables import Site
from service.visits.queries import asked, current, usable
from service.visits.question import Question
from service.visits.tables import State, Visit, VisitFinding, VisitReading

Rows = Sequence[sa.RowMapping]
COUNTS = ("readings", "missing", "evaluated", "flagged", "dismissed", "waiting", "usable")
EVALUATED = (Flag.PASS, *DOUBTED)


def _found(flags: Collection[Flag]) -> sa.ColumnElement[bool]:
    """Return the condition that a check gave a reading one of these flags."""
    finding = sa.select(col(VisitFinding.check)).where(
        col(VisitFinding.visit_id) == col(VisitReading.visit_id),
        col(VisitFinding.revision) == col(VisitReading.revision),
        col(VisitFinding.position) == col(VisitReading.position),
        col(VisitFinding.flag).in_(flags),
    )
    return finding.correlate(VisitReading).exists()


def _one_if(condition: sa.ColumnElement[bool], name: str) -> sa.Label[int]:
    return sa.case((condition, 1), else_=0).label(name)


def _of_parameter(parameter: str | None) -> list[sa.ColumnElement[bool]]:
    return [] if parameter is None else [col(VisitReading.parameter) == parameter]


def reading_counts(session: Session, question: Question, parameter: str | None) -> Rows:
    """Return how many readings of a question are how good, by school, kit, parameter, year and month."""
    stands = sa.and_(usable(), col(Visit.state) != State.REJECTED)
    flagged = _found(DOUBTED)
    each = (
        sa.select(
            col(Visit.school),
            col(VisitReading.kit),
            col(VisitReading.parameter),
            sa.extract("year", col(Visit.observed_on)).label("year"),
            sa.extract("month", col(Visit.observed_on)).label("month"),
            sa.literal(1).label("readings"),
            _one_if(col(VisitReading.value).is_(None), "missing"),
            _one_if(_found(EVALUATED), "evaluated"),
            _one_if(flagged, "flagged"),
            _one_if(sa.and_(flagged, stands), "dismissed"),
            _one_if(sa.and_(flagged, sa.not_(stands), col(Visit.state) == State.HELD), "waiting"),
            _one_if(stands, "usable"),
        )
        .select_from(Visit)
        .join(Site, col(Site.code) == col(Visit.site))
        .join(VisitReading, current(VisitReading))
        .where(*asked(question), *_of_parameter(parameter))
        .subquery()
    )
    group = (each.c.school, each.c.kit, each.c.parameter, each.c.year, each.c.month)
    sums = (sa.func.sum(each.c[name]).label(name) for name in COUNTS)
    return session.execute(sa.select(*group, *sums).group_by(*group)).mappings().all()


def _is_duplicated() -> sa.ColumnElement[bool]:
    """Return the condition that the visit has a field replicate at the same site on the same day."""
    other: Any = aliased(Visit)
    return (
        sa.select(other.id)
        .where(
            other.site == col(Visit.site),
            other.observed_on == col(Visit.observed_on),
            other.kind == VisitKind.FIELD_REPLICATE,
        )
        .correlate(Visit)
        .exists()
    )


def compared_readings(
    session: Session, question: Question, parameter: str | None
) -> Sequence[tuple[VisitReading, Visit]]:
    """Return the readings of a question that another reading of the same water can be held against.

    That is a second reading of the parameter in the same visit, or in a duplicate of the visit: a field
    replicate at the same site on the same day. Failed readings and those without a kit are left out.
    """
    sibling: Any = aliased(VisitReading)
    read_twice = (
        sa.select(sibling.position)
        .where(
            sibling.visit_id == col(VisitReading.visit_id),
            sibling.revision == col(VisitReading.revision),
            sibling.parameter == col(VisitReading.parameter),
            sibling.position != col(VisitReading.position),
        )
        .correlate(VisitReading)
        .exists()
    )
    found = (
        sa.select(VisitReading, Visit)
        .join(Visit, current(VisitReading))
        .join(Site, col(Site.code) == col(Visit.site))
        .where(
            *asked(question),
            *_of_parameter(parameter),
            col(Visit.kind) != VisitKind.FIELD_BLANK,
            col(VisitReading.value).is_not(None),
            col(VisitReading.kit).is_not(None),
            col(VisitReading.flag) != Flag.FAIL,
        )
        .where(sa.or_(read_twice, _is_duplicated()))
    )
    order = (col(Visit.observed_at), col(Visit.id), col(VisitReading.replicate), col(VisitReading.position))
    return [tuple(row) for row in session.execute(found.order_by(*order))]


def written_values(session: Session, question: Question, kits: Collection[str]) -> Rows:
    """Return school, kit, visit, value and unit as written of every reading with these kits."""
    if not kits:
        return []
    columns: tuple[Any, ...] = (
        col(Visit.school),
        col(VisitReading.kit),
        col(Visit.id).label("visit_id"),
        col(VisitReading.written_value),
        col(VisitReading.written_unit),
    )
    found = (
        sa.select(*columns)
        .select_from(Visit)
        .join(Site, col(Site.code) == col(Visit.site))
        .join(VisitReading, current(VisitReading))
        .where(
            *asked(question),
            col(VisitReading.kit).in_(sorted(kits)),
            col(VisitReading.written_value).is_not(None),
            col(VisitReading.written_censored).is_(None),
        )
    )
    return session.execute(found).mappings().all()
