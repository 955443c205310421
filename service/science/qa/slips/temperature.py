"""Slips of the thermometer: the wrong scale, and the air in the box of the water."""

from service.science.qa.slips.slip import Proposal, Slip, rewritten
from service.science.qa.slips.wrong_unit import wrong_unit
from service.science.types import Reading, Visit
from service.science.units import convert

FAHRENHEIT = wrong_unit(
    "fahrenheit-as-celsius",
    "water_temperature",
    written="degC",
    meant="degF",
    least=32,
    most=95,
    question="Was it read in °F? Then it would be {would_be}.",
)
CELSIUS = wrong_unit(
    "celsius-as-fahrenheit",
    "water_temperature",
    written="degF",
    meant="degC",
    least=0,
    most=35,
    question="Was it read in °C? Then it would be {would_be}.",
)

FURTHEST_APART_C = 20  # own: by day the air is hardly ever further from the water of a stream


def _exchange_with_air(reading: Reading, visit: Visit) -> Proposal | None:
    air_c = visit.conditions.get("air_temperature_c")
    if not isinstance(air_c, int | float) or not 0 < abs(air_c - reading.value) <= FURTHEST_APART_C:
        return None
    water = rewritten(reading, convert(air_c, "degC", reading.written_unit))
    return Proposal(water, conditions={"air_temperature_c": reading.value}, needs_season=True)


AIR_AND_WATER = Slip(
    "air-and-water-exchanged",
    frozenset({"water_temperature"}),
    _exchange_with_air,
    "Did the air and the water change places? Then the water would be {would_be}.",
)
