"""What the network has set for a site on a day: which criteria apply there."""

from datetime import date

from sqlmodel import Session

from service.sites.tables import Site
from service.visits.score_visit import NetworkRules


def find_rules(session: Session, site: Site, on: date) -> NetworkRules:
    """Return what applies to a site on a local date."""
    return NetworkRules()
