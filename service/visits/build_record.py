"""From a body to the rows of a revision: interpret, look around, assess, compose. Nothing is stored."""

from dataclasses import replace

from sqlmodel import Session

from service.core.settings import Settings
from service.reference.load import load_catalogue
from service.sites.keep_kit import find_kits
from service.sites.keep_lot import find_lots
from service.sites.tables import Site
from service.visits.assess import assess_visit
from service.visits.compose import compose
from service.visits.conclusions import scored_with
from service.visits.interpret import interpret_body
from service.visits.network_rules import find_rules
from service.visits.record import Arrival, VisitRecord
from service.visits.schemas import VisitBody
from service.visits.surroundings import look_around


def build_record(
    session: Session,
    settings: Settings,
    body: VisitBody,
    site: Site,
    arrival: Arrival,
    content_hash: str | None = None,
) -> VisitRecord:
    """Return the rows of a revision as today's checks, indices and reference data make them.

    ``content_hash`` is given for a revision that is stored already: what was drawn at random for it before is
    drawn alike again.

    Raises
    ------
    Invalid
        Readings name kits or boxes that do not exist or that are for something else.
    """
    catalogue = load_catalogue()
    kits = find_kits(session, {reading.kit for reading in body.readings if reading.kit})
    lots = find_lots(session, site.school, {reading.kit_lot for reading in body.readings if reading.kit_lot})
    interpreted = interpret_body(body, site, kits, lots, catalogue)
    if content_hash is not None:
        interpreted = replace(interpreted, content_hash=content_hash)
    surroundings = look_around(session, site, body, interpreted, arrival.visit_id, arrival.received_at)
    rules = find_rules(session, site, interpreted.observed_at.date())
    assessed = assess_visit(body, interpreted, site, surroundings, rules, arrival.received_at, catalogue)
    return compose(
        arrival,
        body,
        interpreted,
        assessed,
        site=site,
        release_suspect=settings.release_suspect,
        reference_version=catalogue.version,
        scored_with=scored_with(catalogue, rules),
    )
