"""What the network has set for a site on a day: which criteria apply there, and which of its own indices."""

from datetime import date

from sqlmodel import Session

from service.criteria.find_criteria import find_criteria
from service.indices.find_indices import find_indices
from service.sites.tables import Site
from service.visits.score_visit import NetworkRules


def find_rules(session: Session, site: Site, on: date) -> NetworkRules:
    """Return what applies to a site on a local date."""
    return NetworkRules(find_criteria(session, site, on), find_indices(session, site, on))
