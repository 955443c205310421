"""Check, derive and score one visit: everything science says about it, from plain values alone."""

from dataclasses import dataclass, replace
from datetime import datetime

from service.reference.catalogue import Catalogue
from service.science import types as science
from service.science.alerts import Alert, raise_alerts
from service.science.derived.value import Derived
from service.science.derived_values import derive
from service.science.flags import Flag, roll_up
from service.science.qa.engine import Assessment
from service.science.qa.explained import assess_with_slips
from service.science.qa.registry import CATCH_CHECKS, CHECKS
from service.science.scores.index import Score
from service.sites.tables import Site
from service.visits.interpret import Interpreted, seed_of_visit
from service.visits.schemas import VisitBody
from service.visits.score_visit import NetworkRules, score_visit
from service.visits.surroundings import Surroundings


@dataclass(frozen=True, slots=True)
class Assessed:
    """The flags, the derived values, the scores and the alerts of a visit."""

    assessment: Assessment
    derived: tuple[Derived, ...]
    scores: tuple[Score, ...]
    alerts: tuple[Alert, ...]

    @property
    def flag(self) -> Flag:
        """The worst that was found anywhere in the visit."""
        return self.assessment.flag


def assess_visit(
    body: VisitBody,
    interpreted: Interpreted,
    site: Site,
    surroundings: Surroundings,
    rules: NetworkRules,
    received_at: datetime,
    catalogue: Catalogue,
) -> Assessed:
    """Return everything that follows from a visit. A reading that failed enters no derived value."""
    visit = _as_handed_in(body, interpreted, site, surroundings, received_at)
    found = assess_with_slips(visit, CHECKS, catalogue.limits_for)
    if visit.kind is science.VisitKind.FIELD_BLANK:
        return Assessed(found, (), (), ())
    flags = {reading.position: reading.flag for reading in found.readings}
    sound = tuple(reading for reading in visit.readings if flags[reading.position] is not Flag.FAIL)
    sound_visit = replace(visit, readings=sound)
    doubted = (position for position, flag in flags.items() if flag is Flag.SUSPECT)
    catch_flag = roll_up(
        result.finding.flag for result in found.visit_results if result.check in CATCH_CHECKS
    )
    seed = seed_of_visit(site.code, interpreted.observed_at.date())
    return Assessed(
        assessment=found,
        derived=derive(sound_visit),
        scores=score_visit(sound_visit, doubted, catch_flag, rules, catalogue, seed),
        alerts=raise_alerts(sound_visit, catalogue.alert_limits),
    )


def _as_handed_in(
    body: VisitBody, interpreted: Interpreted, site: Site, surroundings: Surroundings, received_at: datetime
) -> science.Visit:
    return science.Visit(
        site=science_site(site),
        observed_at=interpreted.observed_at,
        received_at=received_at,
        readings=interpreted.readings,
        conditions=body.conditions.model_dump(mode="json", exclude_none=True),
        history=surroundings.history,
        twins=surroundings.twins,
        kind=body.kind,
        catch=interpreted.catch,
        neighbours=surroundings.neighbours,
        same_catch_on=surroundings.same_catch_on,
        same_day=surroundings.same_day,
        place=science.Place(body.place.latitude, body.place.longitude) if body.place else None,
        gauging=body.gauging.measured() if body.gauging else None,
        bottles=body.bottles.measured() if body.bottles else None,
    )


def science_site(site: Site) -> science.Site:
    """Return what the science may know of a site."""
    return science.Site(
        code=site.code,
        time_zone=site.time_zone,
        latitude=site.latitude,
        longitude=site.longitude,
        elevation_m=site.elevation_m,
        established_on=site.established_on,
        water_class=site.water_class,
    )
