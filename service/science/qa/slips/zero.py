"""A 0 that stands for "nobody measured it"."""

from service.science.qa.slips.slip import NumberlessSlip
from service.science.types import Reading, Visit

NEVER_ZERO = frozenset({"ph", "transparency", "specific_conductance", "conductivity", "barometric_pressure"})
ZEROS_OF_AN_EMPTY_SHEET = 3
WARM_AIR_C = 10


def _not_measured(reading: Reading, visit: Visit) -> bool:
    if reading.written_value != 0:
        return False
    air_c = visit.conditions.get("air_temperature_c")
    is_warm = isinstance(air_c, int | float) and air_c > WARM_AIR_C
    zeros = sum(other.written_value == 0 for other in visit.readings)
    return (
        reading.parameter in NEVER_ZERO
        or (reading.parameter == "water_temperature" and is_warm)
        or zeros >= ZEROS_OF_AN_EMPTY_SHEET
    )


NOT_MEASURED = NumberlessSlip(
    "zero-not-measured",
    NEVER_ZERO | {"water_temperature", "dissolved_oxygen", "dissolved_oxygen_saturation", "turbidity"},
    _not_measured,
    "Was it not measured? Then leave it out instead of writing 0.",
)
