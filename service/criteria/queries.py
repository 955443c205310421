"""SQL of the criteria that the network has set."""

from collections.abc import Sequence
from datetime import date, timedelta

import sqlalchemy as sa
from sqlmodel import Session, col, select

from service.criteria.tables import NetworkCriterion
from service.science.watershed_code import WatershedCode, levels
from service.sites.tables import Site


def criterion_by_code(session: Session, code: str) -> NetworkCriterion | None:
    """Return a criterion of the network, or ``None``."""
    return session.get(NetworkCriterion, code)


def criteria_after(
    session: Session, code: str, limit: int, parameter: str | None = None
) -> Sequence[NetworkCriterion]:
    """Return criteria in the order of their codes, beginning after ``code``; of one parameter or of all."""
    found = select(NetworkCriterion).where(col(NetworkCriterion.code) > code)
    if parameter is not None:
        found = found.where(col(NetworkCriterion.parameter) == parameter)
    return session.exec(found.order_by(col(NetworkCriterion.code)).limit(limit)).all()


def criteria_for(session: Session, site: Site, on: date) -> Sequence[NetworkCriterion]:
    """Return the criteria that apply to a site on a local date, by code: by water class and watershed."""
    until = col(NetworkCriterion.applies_until)
    water_class = col(NetworkCriterion.water_class)
    found = select(NetworkCriterion).where(
        col(NetworkCriterion.applies_from) <= on,
        sa.or_(until.is_(None), until >= on),
        sa.or_(water_class.is_(None), water_class == site.water_class),
        _around(site),
    )
    return session.exec(found.order_by(col(NetworkCriterion.code))).all()


def days_of_change(session: Session) -> list[date]:
    """Return the days from which on other criteria may apply, the earliest first."""
    first, last = col(NetworkCriterion.applies_from), col(NetworkCriterion.applies_until)
    days: set[date] = set()
    for begins, ends in session.execute(sa.select(first, last)):
        days.add(begins)
        if ends is not None and ends < date.max:
            days.add(ends + timedelta(days=1))
    return sorted(days)


def _around(site: Site) -> sa.ColumnElement[bool]:
    """Return the condition that a criterion is for every watershed or for one that holds the site."""
    everywhere = col(NetworkCriterion.watershed_code).is_(None)
    if site.watershed_scheme is None or site.watershed_code is None:
        return everywhere
    holding = levels(WatershedCode(site.watershed_scheme, site.watershed_code))
    return sa.or_(
        everywhere,
        sa.and_(
            col(NetworkCriterion.watershed_scheme) == site.watershed_scheme,
            col(NetworkCriterion.watershed_code).in_(holding),
        ),
    )
