"""SQL of the reference condition: the catches of the reference sites and what the metrics gave for them."""

from collections.abc import Collection, Sequence
from typing import Any

import sqlalchemy as sa
from sqlmodel import Session, col, select

from service.sites.tables import Site
from service.visits.queries import asked, current
from service.visits.question import Question
from service.visits.tables import Visit, VisitRevision, VisitScore

Rows = Sequence[sa.RowMapping]


def sites_named(session: Session, codes: Collection[str]) -> Sequence[Site]:
    """Return the sites among these codes."""
    return session.exec(select(Site).where(col(Site.code).in_(codes))).all()


def catch_scores(
    session: Session,
    question: Question,
    sites: Collection[str],
    months: Collection[int],
    indices: Collection[str],
) -> Rows:
    """Return the scores of these indices by their standing definitions, a row for each, by date and visit.

    A visit with a catch and none of the indices has one row with nulls.
    """
    columns: tuple[Any, ...] = (
        col(Visit.id).label("visit_id"),
        col(Visit.site),
        col(VisitRevision.catch),
        col(VisitScore.index),
        col(VisitScore.definition),
        col(VisitScore.value),
        col(VisitScore.standing),
    )
    wanted = sa.and_(
        current(VisitScore), col(VisitScore.index).in_(indices), col(VisitScore.superseded).is_(False)
    )
    found = (
        sa.select(*columns)
        .select_from(Visit)
        .join(Site, col(Site.code) == col(Visit.site))
        .join(VisitRevision, current(VisitRevision))
        .outerjoin(VisitScore, wanted)
        .where(
            *asked(question),
            col(Visit.site).in_(sites),
            sa.extract("month", col(Visit.observed_on)).in_(months),
            col(VisitRevision.catch).is_not(None),
        )
        .order_by(col(Visit.observed_on), col(Visit.id))
    )
    return session.execute(found).mappings().all()
