"""The objectives of a site for a period: the criteria of its last date, and whether others held before."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from sqlmodel import Session

from service.criteria.find_criteria import find_criteria
from service.science.criterion import Criterion
from service.sites.tables import Site


@dataclass(frozen=True, slots=True)
class Period:
    """A stretch of local dates, both ends inclusive, with the name that a reader knows it by."""

    name: str
    first: date
    last: date


@dataclass(frozen=True, slots=True)
class Objectives:
    """One objective for each parameter; ``changed`` names those that had another at the period's start."""

    by_parameter: Mapping[str, Criterion]
    changed: tuple[str, ...] = ()


class ObjectiveFinder:
    """Finds criteria for one request, each question to the database once: sites alike share the answer."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._found: dict[object, dict[str, Criterion]] = {}

    def for_period(self, site: Site, period: Period) -> Objectives:
        """Return the objectives of a site for a period."""
        now, before = self._on(site, period.last), self._on(site, period.first)
        changed = (one for one in sorted(now.keys() | before.keys()) if now.get(one) != before.get(one))
        return Objectives(now, tuple(changed))

    def _on(self, site: Site, on: date) -> dict[str, Criterion]:
        alike = (site.water_class, site.watershed_scheme, site.watershed_code, on)
        if alike not in self._found:
            criteria = find_criteria(self._session, site, on)
            self._found[alike] = {criterion.parameter: criterion for criterion in criteria}
        return self._found[alike]
