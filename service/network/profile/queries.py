"""SQL of a stream's sites."""

from collections.abc import Sequence

from sqlmodel import Session, col, select

from service.sites.tables import Site


def sites_of_stream(session: Session, stream: str) -> Sequence[Site]:
    """Return the sites of a stream in the order of their codes."""
    return session.exec(select(Site).where(col(Site.stream) == stream).order_by(col(Site.code))).all()
