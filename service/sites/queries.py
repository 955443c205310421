"""SQL of sites, watersheds and the network's own kits."""

from collections.abc import Collection, Sequence
from typing import Any

import sqlalchemy as sa
from sqlmodel import Session, col, select

from service.science.watershed_code import WatershedCode
from service.sites.box import FINEST_DECIMALS, Box, stored_between
from service.sites.tables import NetworkKit, SchoolKitLot, Site, Watershed


def inside(watershed: WatershedCode) -> sa.ColumnElement[bool]:
    """Return the condition that a site lies in a watershed: a range over the index, not a pattern."""
    return sa.and_(
        col(Site.watershed_scheme) == watershed.scheme,
        col(Site.watershed_code) >= watershed.code,
        col(Site.watershed_code) < watershed.upper_bound,
    )


def shown_inside(
    box: Box, own_school: str | None, *, sees_everything: bool = False
) -> sa.ColumnElement[bool]:
    """Return the condition that a site is shown inside a box to somebody who sees some places exactly."""
    exactly = sa.and_(
        col(Site.latitude).between(box.south, box.north),
        sa.or_(*(col(Site.longitude).between(*stretch) for stretch in box.longitudes)),
    )
    if sees_everything:
        return exactly
    rounded = sa.or_(*(_rounded_inside(box, decimals) for decimals in range(FINEST_DECIMALS + 1)))
    if own_school is None:
        return rounded
    own = col(Site.school) == own_school
    return sa.or_(sa.and_(own, exactly), sa.and_(~own, rounded))


def _rounded_inside(box: Box, decimals: int) -> sa.ColumnElement[bool]:
    def between(column: Any, low: float, high: float) -> sa.ColumnElement[bool]:
        first, beyond = stored_between(low, high, decimals)
        return sa.and_(column >= first, column < beyond)

    return sa.and_(
        col(Site.public_decimals) == decimals,
        between(col(Site.latitude), box.south, box.north),
        sa.or_(*(between(col(Site.longitude), *stretch) for stretch in box.longitudes)),
    )


def site_by_code(session: Session, code: str) -> Site | None:
    """Return a site, or ``None``."""
    return session.get(Site, code)


def sites_after(
    session: Session,
    code: str,
    limit: int,
    *,
    watershed: WatershedCode | None = None,
    stream: str | None = None,
    school: str | None = None,
    shown: sa.ColumnElement[bool] | None = None,
) -> Sequence[Site]:
    """Return sites in the order of their codes, beginning after ``code``, that meet every filter given."""
    found = select(Site).where(col(Site.code) > code)
    if shown is not None:
        found = found.where(shown)
    if watershed is not None:
        found = found.where(inside(watershed))
    if stream is not None:
        found = found.where(col(Site.stream) == stream)
    if school is not None:
        found = found.where(col(Site.school) == school)
    return session.exec(found.order_by(col(Site.code)).limit(limit)).all()


def watershed_by_code(session: Session, code: WatershedCode) -> Watershed | None:
    """Return a watershed that has been entered, or ``None``."""
    return session.get(Watershed, (code.scheme, code.code))


def all_watersheds(session: Session) -> Sequence[Watershed]:
    """Return every watershed that was entered or holds a site, in the order of their codes."""
    return session.exec(select(Watershed).order_by(col(Watershed.scheme), col(Watershed.code))).all()


def sites_by_watershed(session: Session) -> Sequence[tuple[str, str, int]]:
    """Return scheme, code and number of sites for each watershed code that a site carries itself."""
    counted = (
        select(col(Site.watershed_scheme), col(Site.watershed_code), sa.func.count())
        .where(col(Site.watershed_code).is_not(None))
        .group_by(col(Site.watershed_scheme), col(Site.watershed_code))
    )
    return [(str(scheme), str(code), int(count)) for scheme, code, count in session.exec(counted)]


def kits_by_codes(session: Session, codes: Collection[str]) -> Sequence[NetworkKit]:
    """Return the network's own kits among these codes."""
    if not codes:
        return []
    return session.exec(select(NetworkKit).where(col(NetworkKit.code).in_(sorted(codes)))).all()


def kits_after(session: Session, code: str, limit: int) -> Sequence[NetworkKit]:
    """Return the network's own kits in the order of their codes, beginning after ``code``."""
    found = select(NetworkKit).where(col(NetworkKit.code) > code).order_by(col(NetworkKit.code)).limit(limit)
    return session.exec(found).all()


def lot_by_code(session: Session, school: str, code: str) -> SchoolKitLot | None:
    """Return a school's box of a kit, or ``None``."""
    return session.get(SchoolKitLot, (school, code))


def lots_by_codes(session: Session, school: str, codes: Collection[str]) -> Sequence[SchoolKitLot]:
    """Return a school's boxes among these codes."""
    if not codes:
        return []
    found = select(SchoolKitLot).where(
        col(SchoolKitLot.school) == school, col(SchoolKitLot.code).in_(sorted(codes))
    )
    return session.exec(found).all()


def lots_after(
    session: Session, school: str | None, after: tuple[str, str], limit: int
) -> Sequence[SchoolKitLot]:
    """Return boxes in the order of school and code, beginning after a key; of one school or of all."""
    order = (col(SchoolKitLot.school), col(SchoolKitLot.code))
    found = select(SchoolKitLot).where(sa.tuple_(*order) > sa.tuple_(*after))
    if school is not None:
        found = found.where(col(SchoolKitLot.school) == school)
    return session.exec(found.order_by(*order).limit(limit)).all()
