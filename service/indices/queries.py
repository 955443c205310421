"""SQL of the multimetric indices that the network has made."""

from collections.abc import Sequence

import sqlalchemy as sa
from sqlmodel import Session, col, select

from service.indices.tables import NetworkIndex
from service.science.watershed_code import WatershedCode, levels


def indices_around(session: Session, watershed: WatershedCode) -> Sequence[NetworkIndex]:
    """Return the newest definition of each index whose own watershed holds this one, by code.

    An index that has moved on to another watershed holds no more where its older definitions did.
    """
    newest = (
        sa.select(col(NetworkIndex.code), sa.func.max(col(NetworkIndex.number)).label("number"))
        .group_by(col(NetworkIndex.code))
        .subquery()
    )
    is_newest = sa.and_(col(NetworkIndex.code) == newest.c.code, col(NetworkIndex.number) == newest.c.number)
    found = (
        select(NetworkIndex)
        .join(newest, is_newest)
        .where(
            col(NetworkIndex.watershed_scheme) == watershed.scheme,
            col(NetworkIndex.watershed_code).in_(levels(watershed)),
        )
        .order_by(col(NetworkIndex.code))
    )
    return session.exec(found).all()


def index_by_code(session: Session, code: str, number: int | None = None) -> NetworkIndex | None:
    """Return a definition of an index, without a number the newest, or ``None``."""
    if number is not None:
        return session.get(NetworkIndex, (code, number))
    found = select(NetworkIndex).where(col(NetworkIndex.code) == code)
    return session.exec(found.order_by(col(NetworkIndex.number).desc()).limit(1)).first()


def indices_after(session: Session, after: tuple[str, int], limit: int) -> Sequence[NetworkIndex]:
    """Return definitions in the order of code and number, beginning after a key."""
    order = (col(NetworkIndex.code), col(NetworkIndex.number))
    found = select(NetworkIndex).where(sa.tuple_(*order) > sa.tuple_(*after))
    return session.exec(found.order_by(*order).limit(limit)).all()
