"""Enter a watershed, and give it its name."""

from sqlmodel import Session

from service.science.watershed_code import WatershedCode
from service.sites.queries import watershed_by_code
from service.sites.tables import Watershed


def enter_watershed(session: Session, code: WatershedCode, name: str | None = None) -> Watershed:
    """Return the watershed, entered now if it was not there; a name replaces the one it had."""
    watershed = watershed_by_code(session, code)
    if watershed is None:
        watershed = Watershed(scheme=code.scheme, code=code.code)
        session.add(watershed)
    watershed.name = name or watershed.name
    session.flush()
    return watershed
