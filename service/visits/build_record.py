"""From a body to the rows of a revision: interpret, look around, assess, compose. Nothing is stored."""

from sqlmodel import Session

from service.core.settings import Settings
from service.reference.load import load_catalogue
from service.sites.keep_kit import find_kits
from service.sites.tables import Site
from service.visits.assess import assess_visit
from service.visits.background import AskedAnew, Background
from service.visits.compose import compose
from service.visits.conclusions import scored_with
from service.visits.interpret import interpret_body
from service.visits.record import Arrival, VisitRecord
from service.visits.schemas import VisitBody
from service.visits.surroundings import look_around


def build_record(
    session: Session,
    settings: Settings,
    body: VisitBody,
    site: Site,
    arrival: Arrival,
    background: Background | None = None,
) -> VisitRecord:
    """Return the rows of a revision as today's checks, indices and reference data make them.

    ``background`` is for whoever builds many in a row; else the database is asked.

    Raises
    ------
    Invalid
        Readings name kits or boxes that do not exist or that are for something else.
    """
    catalogue = load_catalogue()
    kits = find_kits(session, {reading.kit for reading in body.readings if reading.kit})
    known = background or AskedAnew(session)
    boxes = known.boxes_of(site.school, {reading.kit_lot for reading in body.readings if reading.kit_lot})
    interpreted = interpret_body(body, site, kits, boxes, catalogue)
    surroundings = look_around(known, site, body, interpreted, arrival.visit_id, arrival.received_at)
    rules = known.rules_at(site, interpreted.observed_at.date())
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
