"""Readings and scores of released visits in the order of time, for whatever looks at a course of them."""

from collections.abc import Collection, Sequence
from typing import Any

import sqlalchemy as sa
from sqlmodel import Session, col

from service.sites.tables import Site
from service.visits.queries import asked, current, usable
from service.visits.question import Question
from service.visits.tables import Visit, VisitReading, VisitScore

Rows = Sequence[sa.RowMapping]

WHEN_AND_WHERE: tuple[Any, ...] = (
    col(Visit.id).label("visit_id"),
    col(Visit.site),
    col(Visit.school),
    col(Site.stream_km),
    col(Site.time_zone),
    col(Visit.observed_at),
    col(Visit.observed_on),
)


def readings_in_time(session: Session, question: Question, parameters: Collection[str]) -> Rows:
    """Return the usable readings of some parameters that meet a question, oldest first."""
    found = (
        sa.select(
            *WHEN_AND_WHERE,
            col(VisitReading.position),
            col(VisitReading.parameter),
            col(VisitReading.value),
            col(VisitReading.unit),
            col(VisitReading.censored),
            col(VisitReading.low),
            col(VisitReading.high),
            col(VisitReading.kit),
            col(VisitReading.flag),
        )
        .join(Site, col(Site.code) == col(Visit.site))
        .join(VisitReading, current(VisitReading))
        .where(*asked(question), usable(), col(VisitReading.parameter).in_(parameters))
        .order_by(col(Visit.observed_on), col(Visit.id), col(VisitReading.position))
    )
    return session.execute(found).mappings().all()


def scores_in_time(session: Session, question: Question, index: str) -> Rows:
    """Return the scores of an index by its standing definition that meet a question, oldest first."""
    found = (
        sa.select(
            *WHEN_AND_WHERE,
            col(VisitScore.definition),
            col(VisitScore.value),
            col(VisitScore.standing),
            col(VisitScore.band),
            col(VisitScore.low),
            col(VisitScore.high),
        )
        .join(Site, col(Site.code) == col(Visit.site))
        .join(VisitScore, current(VisitScore))
        .where(*asked(question), col(VisitScore.index) == index, col(VisitScore.superseded).is_(False))
        .order_by(col(Visit.observed_on), col(Visit.id))
    )
    return session.execute(found).mappings().all()
