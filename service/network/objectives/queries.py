"""SQL of the sites of a watershed."""

from collections.abc import Sequence

from sqlmodel import Session, col, select

from service.science.watershed_code import WatershedCode
from service.sites.queries import inside
from service.sites.tables import Site


def sites_inside(session: Session, watershed: WatershedCode) -> Sequence[Site]:
    """Return every site that lies in a watershed, in the order of their codes."""
    return session.exec(select(Site).where(inside(watershed)).order_by(col(Site.code))).all()
