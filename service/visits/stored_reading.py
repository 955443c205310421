"""From a stored reading back to the plain value that science works on."""

import math

from service.science.types import Kit, Reading
from service.science.units import convert
from service.visits.tables import VisitReading


def stored_reading(row: VisitReading, kit: Kit | None) -> Reading | None:
    """Return a stored reading in the terms of science, or ``None`` if it was planned but not measured."""
    if row.value is None or row.written_value is None:
        return None
    return Reading(
        position=row.position,
        parameter=row.parameter,
        unit=row.unit,
        value=row.value,
        censored=row.censored,
        low=-math.inf if row.low is None else row.low,
        high=math.inf if row.high is None else row.high,
        written_value=row.written_value,
        written_unit=row.written_unit,
        written_censored=row.written_censored,
        kit=kit,
        kit_value=convert(row.written_value, row.written_unit, kit.unit) if kit is not None else None,
        procedure=row.procedure,
        replicate=row.replicate,
    )
