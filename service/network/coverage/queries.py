"""SQL of how often sites are visited, and which of them nobody has visited for long."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

import sqlalchemy as sa
from sqlmodel import Session, col

from service.network.latest.queries import OF_THE_SITE, last_visit_on
from service.science.watershed_code import WatershedCode
from service.sites.queries import inside
from service.sites.tables import Site
from service.visits.tables import Visit


@dataclass(frozen=True, slots=True)
class SitesAsked:
    """Which sites, and after how many days without a visit before ``until`` one is overdue."""

    until: date
    overdue_days: int
    watershed: WatershedCode | None = None
    stream: str | None = None
    school: str | None = None
    shown: sa.ColumnElement[bool] | None = None

    @property
    def conditions(self) -> list[sa.ColumnElement[bool]]:
        """The conditions that a site is asked for."""
        exact = ((Site.stream, self.stream), (Site.school, self.school))
        found = [col(column) == wanted for column, wanted in exact if wanted is not None]
        found += [] if self.shown is None else [self.shown]
        return found if self.watershed is None else [*found, inside(self.watershed)]

    @property
    def is_overdue(self) -> sa.ColumnElement[bool]:
        """The condition that a site's last visit, or its beginning where it has none, lies too far back."""
        since = sa.func.coalesce(last_visit_on(self.until), col(Site.established_on))
        return sa.or_(since < self.until - timedelta(days=self.overdue_days), since.is_(None))


def numbers_of_sites(session: Session, asked: SitesAsked) -> tuple[int, int]:
    """Return how many sites are asked for, and how many of them are overdue."""
    overdue = sa.func.sum(sa.case((asked.is_overdue, 1), else_=0))
    sites, late = session.execute(
        sa.select(sa.func.count(), overdue).select_from(Site).where(*asked.conditions)
    ).one()
    return int(sites), int(late or 0)


def sites_with_last_visit(
    session: Session, asked: SitesAsked, after: str, limit: int, *, only_overdue: bool
) -> Sequence[Any]:
    """Return site, last visit and whether one is overdue, in the order of codes beginning after one."""
    found = sa.select(Site, last_visit_on(asked.until), asked.is_overdue).where(col(Site.code) > after)
    found = found.where(*asked.conditions)
    if only_overdue:
        found = found.where(asked.is_overdue)
    return session.execute(found.order_by(col(Site.code)).limit(limit)).all()


def visits_by_day(
    session: Session, sites: Collection[str], since: date, until: date
) -> Sequence[tuple[str, date, int]]:
    """Return site, local date and number of released routine visits between two dates, itself included."""
    day = (col(Visit.site), col(Visit.observed_on))
    found = (
        sa.select(*day, sa.func.count())
        .join(Site, OF_THE_SITE[0])
        .where(*OF_THE_SITE[1:], col(Visit.site).in_(sites), col(Visit.observed_on).between(since, until))
        .group_by(*day)
        .order_by(*day)
    )
    return [(site, on, int(count)) for site, on, count in session.execute(found)]
