"""Check, derive and score one visit: everything science says about it, from plain values alone."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from service.reference.catalogue import Catalogue
from service.science import types as science
from service.science.derived_values import Derived, derive
from service.science.flags import Flag
from service.science.qa.engine import Assessment, assess
from service.science.qa.registry import CHECKS
from service.science.scores.index import Score
from service.science.scores.registry import score_catch
from service.sites.tables import Site
from service.visits.interpret import Interpreted


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What the register already knows around a visit: the site's past, and the same visit under other ids."""

    history: Mapping[str, tuple[science.PastReading, ...]]
    twins: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Assessed:
    """The flags, the derived values and the scores of a visit."""

    assessment: Assessment
    derived: tuple[Derived, ...]
    scores: tuple[Score, ...]

    @property
    def flag(self) -> Flag:
        """The worst that was found anywhere in the visit."""
        return self.assessment.flag


def assess_visit(
    interpreted: Interpreted,
    site: Site,
    surroundings: Surroundings,
    conditions: Mapping[str, object],
    received_at: datetime,
    catalogue: Catalogue,
) -> Assessed:
    """Return everything that follows from a visit. A reading that failed enters no derived value."""
    visit = science.Visit(
        site=science.Site(
            code=site.code,
            time_zone=site.time_zone,
            latitude=site.latitude,
            longitude=site.longitude,
            elevation_m=site.elevation_m,
            established_on=site.established_on,
            water_class=site.water_class,
        ),
        observed_at=interpreted.observed_at,
        received_at=received_at,
        readings=interpreted.readings,
        conditions=conditions,
        history=surroundings.history,
        twins=surroundings.twins,
    )
    found = assess(visit, CHECKS, catalogue.limits_for)
    failed = {reading.position for reading in found.readings if reading.flag is Flag.FAIL}
    sound = tuple(reading for reading in visit.readings if reading.position not in failed)
    catch = interpreted.catch
    return Assessed(
        assessment=found,
        derived=derive(replace(visit, readings=sound)),
        scores=score_catch(catch, catalogue.definitions, interpreted.seed) if catch else (),
    )
