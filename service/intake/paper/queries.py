"""SQL of what a class last measured with at a site."""

from collections.abc import Sequence

import sqlalchemy as sa
from sqlmodel import Session, col, select

from service.science.types import VisitKind
from service.visits.queries import current
from service.visits.tables import State, Visit, VisitReading

LAST_VISITS = 12  # how many visits back a kit still counts as the one in use


def kits_in_use(session: Session, site: str) -> Sequence[tuple[str, str]]:
    """Return parameter and kit of the readings of a site's last public visits, the newest first."""
    newest = (
        select(col(Visit.id))
        .where(
            col(Visit.site) == site,
            col(Visit.state) == State.RELEASED,
            col(Visit.kind) == VisitKind.ROUTINE,
        )
        .order_by(col(Visit.observed_on).desc(), col(Visit.id).desc())
        .limit(LAST_VISITS)
    )
    found = (
        sa.select(col(VisitReading.parameter), col(VisitReading.kit))
        .join(Visit, current(VisitReading))
        .where(col(Visit.id).in_(newest), col(VisitReading.kit).is_not(None))
        .order_by(col(Visit.observed_on).desc(), col(Visit.id).desc(), col(VisitReading.position))
    )
    return [(parameter, kit) for parameter, kit in session.execute(found)]
