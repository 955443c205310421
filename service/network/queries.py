"""The network query: which visits meet a question, and their readings and scores, page by page."""

from collections.abc import Collection, Sequence
from datetime import date
from itertools import groupby
from operator import itemgetter
from typing import Any
from uuid import UUID

import sqlalchemy as sa
from sqlmodel import Session, col

from service.core.columns import as_stored
from service.science.types import VisitKind
from service.science.watershed_code import WatershedCode
from service.sites.queries import inside
from service.sites.tables import Site
from service.visits.queries import asked, current
from service.visits.question import Question
from service.visits.tables import State, Visit, VisitReading, VisitScore

Rows = list[dict[str, Any]]

# As the driver gives it: it stands in many rows one after another, and is read once for all of them.
WRITTEN_ID = sa.type_coerce(col(Visit.id), sa.String())
VISIT_COLUMNS: tuple[Any, ...] = (
    WRITTEN_ID.label("visit_id"),
    col(Visit.revision),
    as_stored(col(Visit.state)),
    as_stored(col(Visit.kind)),
    col(Visit.site),
    col(Visit.school),
    col(Site.stream),
    col(Site.stream_km),
    col(Site.watershed_scheme),
    col(Site.watershed_code),
    col(Site.latitude),
    col(Site.longitude),
    col(Site.public_decimals),
    col(Visit.observed_on),
    col(Site.time_zone),
)
READING_COLUMNS: tuple[Any, ...] = (
    col(VisitReading.position),
    col(VisitReading.parameter),
    col(VisitReading.replicate),
    col(VisitReading.value),
    col(VisitReading.unit),
    as_stored(col(VisitReading.censored)),
    col(VisitReading.low),
    col(VisitReading.high),
    col(VisitReading.kit),
    as_stored(col(VisitReading.flag)),
)
SHORT_SCORE: tuple[Any, ...] = (
    col(VisitScore.index),
    col(VisitScore.definition),
    col(VisitScore.value),
    col(VisitScore.band),
    as_stored(col(VisitScore.standing)),
)
SCORE_COLUMNS: tuple[Any, ...] = (
    *SHORT_SCORE,
    col(VisitScore.low),
    col(VisitScore.high),
    col(VisitScore.bands),
    col(VisitScore.reasons),
    col(VisitScore.inputs),
    col(VisitScore.reference_version),
)
SHORT_READING: tuple[Any, ...] = (
    col(VisitReading.parameter),
    col(VisitReading.value),
    col(VisitReading.unit),
    as_stored(col(VisitReading.censored)),
    as_stored(col(VisitReading.flag)),
)


# By the newest definition of its index that has scored the visit.
STANDING_SCORE = col(VisitScore.superseded).is_(False)


def _page(
    session: Session,
    found: sa.Select[Any],
    order: Sequence[Any],
    after: Sequence[Any] | None,
    limit: int,
) -> Rows:
    if after is not None:
        # Date and visit alone are the order of an index; a key over two tables cannot use it.
        found = found.where(sa.tuple_(*order[:2]) >= sa.tuple_(*after[:2]))
        found = found.where(sa.tuple_(*order) > sa.tuple_(*after))
    return rows_found(session, found.order_by(*order).limit(limit))


def rows_found(session: Session, found: sa.Select[*tuple[Any, ...]]) -> Rows:
    """Return the rows of a question, by the names of their columns."""
    # Straight from the connection: the session would look through thousands of rows for entities.
    answer = session.connection().execute(found)
    names = tuple(answer.keys())
    return [dict(zip(names, row, strict=True)) for row in answer.all()]


def visits_after(
    session: Session, question: Question, limit: int, after: tuple[date, UUID] | None, flag: int | None = None
) -> Rows:
    """Return visits by date and id, beginning after a key."""
    found = _visits(question, flag)
    return _page(session, found, (col(Visit.observed_on), col(Visit.id)), after, limit)


def number_of_visits(
    session: Session, question: Question, flag: int | None = None, at_most: int | None = None
) -> int:
    """Return how many visits there are, counted up to a number."""
    return _number(session, _visits(question, flag), at_most)


def _visits(question: Question, flag: int | None) -> sa.Select[Any]:
    found = sa.select(*VISIT_COLUMNS, as_stored(col(Visit.flag))).join(Site).where(*asked(question))
    return found if flag is None else found.where(col(Visit.flag) == flag)


def _number(session: Session, found: sa.Select[Any], at_most: int | None) -> int:
    rows = found.with_only_columns(sa.literal(1), maintain_column_froms=True).limit(at_most)
    return int(session.execute(sa.select(sa.func.count()).select_from(rows.subquery())).scalar_one())


def readings_after(
    session: Session,
    question: Question,
    limit: int,
    after: tuple[date, UUID, int] | None,
    *,
    parameter: str | None = None,
    flag: int | None = None,
) -> Rows:
    """Return readings by date, visit and position, beginning after a key."""
    order = (col(Visit.observed_on), col(Visit.id), col(VisitReading.position))
    return _page(session, _readings(question, parameter, flag), order, after, limit)


def number_of_readings(
    session: Session,
    question: Question,
    *,
    parameter: str | None = None,
    flag: int | None = None,
    at_most: int | None = None,
) -> int:
    """Return how many readings there are, counted up to a number."""
    return _number(session, _readings(question, parameter, flag), at_most)


def _readings(question: Question, parameter: str | None, flag: int | None) -> sa.Select[Any]:
    found = sa.select(*VISIT_COLUMNS, *READING_COLUMNS).join(Site).join(VisitReading, current(VisitReading))
    found = found.where(*asked(question))
    if parameter is not None:
        found = found.where(col(VisitReading.parameter) == parameter)
    return found if flag is None else found.where(col(VisitReading.flag) == flag)


def scores_after(
    session: Session,
    question: Question,
    limit: int,
    after: tuple[date, UUID, str, int] | None,
    *,
    index: str | None = None,
    band: str | None = None,
    definition: int | None = None,
) -> Rows:
    """Return scores by date, visit, index and definition, beginning after a key.

    Those of superseded definitions only where their definition is asked for.
    """
    found = _scores(question, index, band, definition)
    order = (col(Visit.observed_on), col(Visit.id), col(VisitScore.index), col(VisitScore.definition))
    return _page(session, found, order, after, limit)


def number_of_scores(
    session: Session,
    question: Question,
    *,
    index: str | None = None,
    band: str | None = None,
    definition: int | None = None,
    at_most: int | None = None,
) -> int:
    """Return how many scores there are, counted up to a number."""
    return _number(session, _scores(question, index, band, definition), at_most)


def _scores(
    question: Question, index: str | None, band: str | None, definition: int | None
) -> sa.Select[Any]:
    found = sa.select(*VISIT_COLUMNS, *SCORE_COLUMNS).join(Site).join(VisitScore, current(VisitScore))
    found = found.where(*asked(question))
    if definition is None:
        found = found.where(STANDING_SCORE)
    exact = ((VisitScore.index, index), (VisitScore.band, band), (VisitScore.definition, definition))
    return found.where(*(col(column) == wanted for column, wanted in exact if wanted is not None))


def readings_of(session: Session, visit_ids: Collection[UUID]) -> dict[UUID, Rows]:
    """Return the readings of these visits in short, by visit and in their order."""
    found = sa.select(WRITTEN_ID, *SHORT_READING)
    found = found.join(VisitReading, current(VisitReading)).where(col(Visit.id).in_(visit_ids))
    return _by_visit(session, found.order_by(col(Visit.id), col(VisitReading.position)))


def scores_of(session: Session, visit_ids: Collection[UUID]) -> dict[UUID, Rows]:
    """Return the scores of these visits in short, by visit and in the order of their indices."""
    found = sa.select(WRITTEN_ID, *SHORT_SCORE)
    found = found.join(VisitScore, current(VisitScore)).where(col(Visit.id).in_(visit_ids), STANDING_SCORE)
    return _by_visit(
        session, found.order_by(col(Visit.id), col(VisitScore.index), col(VisitScore.definition))
    )


def _by_visit(session: Session, found: sa.Select[*tuple[Any, ...]]) -> dict[UUID, Rows]:
    """Return the rows of a question, which come visit by visit, behind the id that stands before them."""
    answer = session.connection().execute(found)
    names = tuple(answer.keys())[1:]
    return {
        UUID(str(written_id)): [dict(zip(names, row[1:], strict=True)) for row in rows]
        for written_id, rows in groupby(answer.all(), key=itemgetter(0))
    }


def sites_and_visits_by_watershed(
    session: Session, within: WatershedCode | None
) -> Sequence[tuple[str, str, int, int]]:
    """Return, for each code that a site carries itself, scheme, code, sites and their released visits."""
    visits = (
        sa.select(col(Visit.site), sa.func.count().label("visits"))
        .where(col(Visit.state) == State.RELEASED, col(Visit.kind) == VisitKind.ROUTINE)
        .group_by(col(Visit.site))
        .subquery("visited")
    )
    code = (col(Site.watershed_scheme), col(Site.watershed_code))
    found = (
        sa.select(*code, sa.func.count(), sa.func.sum(sa.func.coalesce(visits.c.visits, 0)))
        .outerjoin(visits, visits.c.site == col(Site.code))
        .where(col(Site.watershed_code).is_not(None))
        .group_by(*code)
    )
    rows = session.execute(found if within is None else found.where(inside(within)))
    return [(scheme, code, int(sites), int(number)) for scheme, code, sites, number in rows]
