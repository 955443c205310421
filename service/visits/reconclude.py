"""Compute anew what follows from a stored visit, under the flags and the rules that now stand."""

from collections.abc import Mapping
from dataclasses import replace
from zoneinfo import ZoneInfo

from sqlmodel import Session

from service.reference.catalogue import Catalogue
from service.reference.load import load_catalogue
from service.science import types as science
from service.science.derived_values import derive
from service.science.flags import Flag, roll_up
from service.science.qa.registry import CATCH_CHECKS
from service.sites.keep_kit import find_kits
from service.sites.tables import Site
from service.visits.assess import science_site
from service.visits.conclusions import derived_rows, score_rows, scored_with
from service.visits.gauging_body import stored_bottles, stored_gauging
from service.visits.interpret import seed_of_visit
from service.visits.net_sample import stored_catch
from service.visits.network_rules import find_rules
from service.visits.record import VisitRecord
from service.visits.records.queries import replace_conclusions
from service.visits.score_visit import NetworkRules, score_visit
from service.visits.stored_reading import stored_reading
from service.visits.tables import WHOLE_VISIT, VisitScore


def reconclude(session: Session, record: VisitRecord, site: Site) -> VisitRecord:
    """Store derived values and scores anew and return the visit with them."""
    kits = find_kits(session, {row.kit for row in record.readings if row.kit})
    rules = find_rules(session, site, record.visit.observed_on)
    concluded = conclude(record, site, kits, rules, load_catalogue())
    replace_conclusions(session, [concluded])
    return concluded


def conclude(
    record: VisitRecord,
    site: Site,
    kits: Mapping[str, science.Kit],
    rules: NetworkRules,
    catalogue: Catalogue,
) -> VisitRecord:
    """Return a visit with its derived values and scores computed anew. Nothing follows from a blank.

    A score by an older definition stays beside the new one, marked as superseded.
    """
    record.revision.scored_with = scored_with(catalogue, rules)
    if record.visit.kind is science.VisitKind.FIELD_BLANK:
        return record
    part = {"visit_id": record.visit.id, "revision": record.visit.revision}
    visit = _sound_visit(record, site, kits, catalogue)
    doubted = (row.position for row in record.readings if row.flag is Flag.SUSPECT and not row.accepted)
    found = [row for row in record.findings if row.position == WHOLE_VISIT and row.check in CATCH_CHECKS]
    catch_flag = roll_up(row.flag for row in found)
    seed = seed_of_visit(site.code, record.visit.observed_on)
    scored = score_visit(visit, doubted, catch_flag, rules, catalogue, seed)
    derived = derived_rows(part, derive(visit))
    scores = score_rows(part, scored, catalogue.version)
    return replace(
        record,
        derived=sorted(derived, key=lambda row: row.parameter),
        scores=[*scores, *_superseded(record, scores)],
    )


def _superseded(record: VisitRecord, scores: list[VisitScore]) -> list[VisitScore]:
    """Return the stored scores by definitions older than those that scored the visit now."""
    newest = {row.index: row.definition for row in scores}
    older = [row for row in record.scores if row.definition < newest.get(row.index, 0)]
    return [VisitScore(**{**row.model_dump(), "superseded": True}) for row in older]


def _sound_visit(
    record: VisitRecord, site: Site, kits: Mapping[str, science.Kit], catalogue: Catalogue
) -> science.Visit:
    """Return the visit with the readings that have not failed, as far as formulas read it."""
    revision = record.revision
    gauging, bottles = stored_gauging(revision.gauging), stored_bottles(revision.bottles)
    readings = [
        stored_reading(row, kits.get(row.kit or "")) for row in record.readings if row.flag is not Flag.FAIL
    ]
    return science.Visit(
        site=science_site(site),
        observed_at=revision.observed_at.astimezone(ZoneInfo(site.time_zone)),
        received_at=revision.received_at,
        readings=tuple(reading for reading in readings if reading is not None),
        conditions=revision.conditions,
        kind=record.visit.kind,
        catch=stored_catch(revision.catch, record.counts, catalogue) if revision.catch else None,
        gauging=gauging.measured() if gauging else None,
        bottles=bottles.measured() if bottles else None,
    )
