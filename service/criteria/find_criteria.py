"""Which criteria apply to a site on a day: the network's own before the defaults, the nearest own one."""

from datetime import date

from sqlmodel import Session

from service.criteria.queries import criteria_for
from service.criteria.tables import NetworkCriterion
from service.reference.load import load_catalogue
from service.science.criterion import Criterion
from service.sites.tables import Site


def find_criteria(session: Session, site: Site, on: date) -> tuple[Criterion, ...]:
    """Return one criterion for each parameter that has any at a site on a local date.

    Where the network has set one of a parameter there, no default of that parameter is used. Of several own
    ones the one of the smallest watershed applies, then one for a named water class, then the newest. A site
    whose water class is not known gets what is for every stream.
    """
    own: dict[str, NetworkCriterion] = {}
    for row in criteria_for(session, site, on):
        other = own.get(row.parameter)
        if other is None or _nearness(row) > _nearness(other):
            own[row.parameter] = row
    found: dict[str, Criterion] = {
        criterion.parameter: criterion
        for criterion in load_catalogue().criteria.values()
        if criterion.water_class in {None, site.water_class}
    }
    found.update((parameter, _as_science(row)) for parameter, row in own.items())
    return tuple(found.values())


def _nearness(row: NetworkCriterion) -> tuple[int, bool, date]:
    return len(row.watershed_code or ""), row.water_class is not None, row.applies_from


def _as_science(row: NetworkCriterion) -> Criterion:
    return Criterion(
        code=row.code,
        name=row.name,
        parameter=row.parameter,
        unit=load_catalogue().parameters[row.parameter].unit,
        at_least=row.at_least,
        at_most=row.at_most,
        source=row.source,
    )
