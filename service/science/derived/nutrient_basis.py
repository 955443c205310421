"""Nutrients as whole ions, beside the nitrogen or phosphorus in them that is stored and compared."""

from collections.abc import Callable

from service.science.derived.value import Derived
from service.science.types import Visit
from service.science.units import convert

METHOD = "atomic-weights-2021"


def _as_ion(parameter: str, derived: str, unit: str) -> Callable[[Visit], Derived | None]:
    """Return the derivation that gives a parameter in the unit of its ion; see ``units.py``."""

    def as_ion(visit: Visit) -> Derived | None:
        reading = visit.first(parameter)
        if reading is None:
            return None
        value, low, high = (
            convert(number, reading.unit, unit) for number in (reading.value, reading.low, reading.high)
        )
        return Derived(derived, value, unit, low, high, reading.censored, METHOD)

    return as_ion


nitrate_as_no3 = _as_ion("nitrate", "nitrate_as_no3", "mg/L as NO3")
nitrite_as_no2 = _as_ion("nitrite", "nitrite_as_no2", "mg/L as NO2")
phosphate_as_po4 = _as_ion("phosphate", "phosphate_as_po4", "mg/L as PO4")
