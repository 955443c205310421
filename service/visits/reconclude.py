"""Compute anew what follows from a stored visit, under the flags that now stand."""

from dataclasses import replace
from zoneinfo import ZoneInfo

from sqlmodel import Session

from service.reference.catalogue import Catalogue
from service.reference.load import load_catalogue
from service.science import types as science
from service.science.catch import Catch, CountScheme, Tally
from service.science.derived_values import derive
from service.science.flags import Flag, roll_up
from service.science.qa.registry import CATCH_CHECKS
from service.science.scores.index import Score
from service.science.scores.qualify import qualify
from service.science.scores.registry import score_catch
from service.sites.keep_kit import find_kits
from service.sites.tables import Site
from service.visits.assess import science_site
from service.visits.conclusions import derived_rows, score_rows
from service.visits.interpret import seed_of
from service.visits.queries import replace_conclusions
from service.visits.record import VisitRecord
from service.visits.stored_reading import stored_reading
from service.visits.tables import WHOLE_VISIT


def reconclude(session: Session, record: VisitRecord, site: Site) -> VisitRecord:
    """Store derived values and scores anew and return the visit with them. Nothing follows from a blank."""
    if record.visit.kind is science.VisitKind.FIELD_BLANK:
        return record
    catalogue = load_catalogue()
    part = {"visit_id": record.visit.id, "revision": record.visit.revision}
    derived = derived_rows(part, derive(_sound_visit(session, record, site)))
    scores = score_rows(part, _scores(record, catalogue), catalogue.version)
    concluded = replace(record, derived=sorted(derived, key=lambda row: row.parameter), scores=scores)
    replace_conclusions(session, concluded)
    return concluded


def _sound_visit(session: Session, record: VisitRecord, site: Site) -> science.Visit:
    """Return the visit with the readings that have not failed, as far as formulas read it."""
    revision = record.revision
    kits = find_kits(session, {row.kit for row in record.readings if row.kit})
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
    )


def _scores(record: VisitRecord, catalogue: Catalogue) -> tuple[Score, ...]:
    catch = _catch(record, catalogue)
    if catch is None:
        return ()
    scores = score_catch(catch, catalogue.definitions, seed_of(record.revision.content_hash))
    doubts = [row for row in record.findings if row.position == WHOLE_VISIT and row.check in CATCH_CHECKS]
    return qualify(scores, roll_up(row.flag for row in doubts))


def _catch(record: VisitRecord, catalogue: Catalogue) -> Catch | None:
    how = record.revision.catch
    if how is None:
        return None
    tallies = tuple(
        Tally(
            written_name=row.written_name,
            taxon=catalogue.taxa.get(row.taxon) if row.taxon else None,
            count=row.count,
            abundance=row.abundance,
            life_stage=row.life_stage,
        )
        for row in record.counts
    )
    return Catch(
        scheme=CountScheme(how["count_scheme"]),
        tallies=tallies,
        gear=how["gear"],
        minutes=how["minutes"],
        area_m2=how["area_m2"],
    )
