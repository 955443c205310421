"""SQL of what the visits of a question say together: values, scores by band, days and states."""

from collections.abc import Sequence
from datetime import date
from typing import Any

import sqlalchemy as sa
from sqlmodel import Session, col

from service.network.queries import STANDING_SCORE, Rows, rows_found
from service.sites.tables import Site
from service.visits.queries import asked, current, usable
from service.visits.question import Question
from service.visits.tables import Visit, VisitReading, VisitScore


def values_by_parameter(session: Session, question: Question) -> Rows:
    """Return site, parameter, unit, value, censoring and bounds of every usable reading of a question."""
    found = (
        sa.select(
            col(Visit.site),
            col(VisitReading.parameter),
            col(VisitReading.unit),
            col(VisitReading.value),
            col(VisitReading.censored),
            col(VisitReading.low),
            col(VisitReading.high),
        )
        .select_from(Visit)
        .join(Site)
        .join(VisitReading, current(VisitReading))
        .where(*asked(question), usable())
    )
    return rows_found(session, found)


def scores_by_band(session: Session, question: Question) -> Sequence[Any]:
    """Return index, definition, standing, band and how many scores of a question are like that."""
    kinds = (
        col(VisitScore.index),
        col(VisitScore.definition),
        col(VisitScore.standing),
        col(VisitScore.band),
    )
    found = (
        sa.select(*kinds, sa.func.count())
        .select_from(Visit)
        .join(Site)
        .join(VisitScore, current(VisitScore))
        .where(*asked(question), STANDING_SCORE)
        .group_by(*kinds)
        .order_by(*kinds[:2])
    )
    return session.execute(found).all()


def days_of_visits(session: Session, question: Question) -> Sequence[tuple[str, date]]:
    """Return each site and local date on which it has a visit that meets a question, once."""
    found = sa.select(col(Visit.site), col(Visit.observed_on)).join(Site).where(*asked(question)).distinct()
    return [(site, on) for site, on in session.execute(found)]


def visits_by_state(session: Session, question: Question) -> Sequence[Any]:
    """Return state, visits, sites, first and last date of what meets a question."""
    found = (
        sa.select(
            col(Visit.state),
            sa.func.count(),
            sa.func.count(sa.distinct(col(Visit.site))),
            sa.func.min(col(Visit.observed_on)),
            sa.func.max(col(Visit.observed_on)),
        )
        .join(Site)
        .where(*asked(question))
        .group_by(col(Visit.state))
    )
    return session.execute(found).all()
