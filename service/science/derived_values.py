"""Values that follow from a visit's readings by formula, with their interval and what was assumed.

A new one is a module of ``service/science/derived/`` and a line here. It answers ``None`` where the class did
not measure what it needs, and raises ``ValueError`` where a formula gives no value.
"""

from collections.abc import Callable

from service.science.derived.ammonia_limit import ammonia_chronic_limit
from service.science.derived.discharge import measured_discharge
from service.science.derived.hardness import total_hardness
from service.science.derived.mean_ph import ph_of_replicates
from service.science.derived.nutrient_basis import nitrate_as_no3, nitrite_as_no2, phosphate_as_po4
from service.science.derived.oxygen_demand import demand_of_bottles
from service.science.derived.oxygen_saturation import percent_of_saturation
from service.science.derived.specific_conductance import specific_conductance
from service.science.derived.tube_and_turbidity import tube_from_turbidity, turbidity_from_tube
from service.science.derived.unionised_ammonia import unionised_ammonia
from service.science.derived.value import Derived
from service.science.types import Visit

DERIVATIONS: tuple[Callable[[Visit], Derived | None], ...] = (
    percent_of_saturation,
    demand_of_bottles,
    ph_of_replicates,
    specific_conductance,
    total_hardness,
    unionised_ammonia,
    ammonia_chronic_limit,
    nitrate_as_no3,
    nitrite_as_no2,
    phosphate_as_po4,
    turbidity_from_tube,
    tube_from_turbidity,
    measured_discharge,
)


def derive(visit: Visit) -> tuple[Derived, ...]:
    """Return every value that the visit's readings allow; readings that failed are not in ``visit``."""
    found = (_value_of(derivation, visit) for derivation in DERIVATIONS)
    return tuple(value for value in found if value is not None)


def _value_of(derivation: Callable[[Visit], Derived | None], visit: Visit) -> Derived | None:
    try:
        return derivation(visit)
    except ValueError:  # outside what the formula was made for: no value, and never one drawn out
        return None
