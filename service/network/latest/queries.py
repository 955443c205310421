"""SQL of what was measured last: the newest visit of a site, and the newest with a value of a parameter."""

from collections.abc import Collection, Mapping
from datetime import date
from typing import Any
from uuid import UUID

import sqlalchemy as sa
from sqlmodel import Session, col

from service.core.columns import as_stored
from service.network.queries import WRITTEN_ID, Rows, rows_found
from service.science.types import VisitKind
from service.sites.tables import Site
from service.visits.queries import current, usable
from service.visits.tables import State, Visit, VisitReading

OF_THE_SITE = (
    col(Visit.site) == col(Site.code),
    col(Visit.state) == State.RELEASED,
    col(Visit.kind) == VisitKind.ROUTINE,
)

# In the order in which an answer tells them.
OF_A_READING: tuple[Any, ...] = (
    col(VisitReading.parameter),
    col(VisitReading.unit),
    col(VisitReading.value),
    as_stored(col(VisitReading.censored)),
    col(VisitReading.low),
    col(VisitReading.high),
    as_stored(col(VisitReading.flag)),
    col(Visit.observed_on),
    WRITTEN_ID.label("visit_id"),
)


def last_visit_on(until: date | None = None) -> sa.ScalarSelect[Any]:
    """Return the local date of a site's newest released visit, for a query of sites: one step in an index."""
    visits = sa.select(col(Visit.observed_on)).where(*OF_THE_SITE)
    if until is not None:
        visits = visits.where(col(Visit.observed_on) <= until)
    return visits.order_by(col(Visit.observed_on).desc()).limit(1).correlate(Site).scalar_subquery()


def last_visits(session: Session, sites: Collection[str]) -> Mapping[str, date | None]:
    """Return the local date of the newest released visit of each of these sites."""
    found = sa.select(col(Site.code), last_visit_on().label("last_visit_on")).where(col(Site.code).in_(sites))
    return {row.code: row.last_visit_on for row in session.execute(found)}


def newest_visits(session: Session, sites: Collection[str], parameters: Collection[str]) -> Rows:
    """Return, for each site and parameter, the newest visit with a usable reading, or null, as it is stored.

    For every pair the database goes back over the index of the site's visits until it meets a value, so the
    length of the record does not matter where a parameter is measured at all; what nobody in the network has
    ever measured is not looked for. Of two visits of one day the id decides: everybody reads this, and nobody
    may learn from it which came at the later hour.
    """
    wanted = sa.values(sa.column("parameter", sa.String), name="wanted").data([(one,) for one in parameters])
    each = wanted.cte("wanted")
    measured = (
        sa.select(sa.literal(1))
        .where(current(VisitReading), col(VisitReading.parameter) == each.c.parameter, usable())
        .correlate(Visit, each)
        .exists()
    )
    newest = (
        sa.select(WRITTEN_ID)
        .where(*OF_THE_SITE, measured)
        .order_by(col(Visit.observed_on).desc(), col(Visit.id).desc())
        .limit(1)
        .correlate(Site, each)
        .scalar_subquery()
    )
    anywhere = sa.exists().where(col(VisitReading.parameter) == each.c.parameter)
    found = (
        sa.select(col(Site.code).label("site"), each.c.parameter, newest.label("visit_id"))
        .join(each, sa.true())
        .where(col(Site.code).in_(sites), anywhere.correlate(each))
    )
    return rows_found(session, found)


def usable_readings(session: Session, visit_ids: Collection[UUID], parameters: Collection[str]) -> Rows:
    """Return the usable readings of some parameters of some visits, in the order that they were handed in.

    The id of the visit comes as it is stored.
    """
    # Apart from the search for the visits: joined to it, SQLite begins with all readings of a parameter.
    found = (
        sa.select(*OF_A_READING)
        .join(VisitReading, current(VisitReading))
        .where(col(Visit.id).in_(visit_ids), col(VisitReading.parameter).in_(parameters), usable())
        .order_by(col(VisitReading.position))
    )
    return rows_found(session, found)
