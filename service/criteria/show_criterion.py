"""A criterion of the network as it is answered."""

from service.criteria.schemas import CriterionAnswer
from service.criteria.tables import NetworkCriterion
from service.reference.load import load_catalogue
from service.sites.schemas import WatershedAnswer


def shown_criterion(row: NetworkCriterion) -> CriterionAnswer:
    """Return a criterion with the unit of its limits."""
    watershed = None
    if row.watershed_scheme is not None and row.watershed_code is not None:
        watershed = WatershedAnswer(scheme=row.watershed_scheme, code=row.watershed_code)
    return CriterionAnswer(
        **row.model_dump(exclude={"watershed_scheme", "watershed_code", "created_at"}),
        unit=load_catalogue().parameters[row.parameter].unit,
        watershed=watershed,
    )
