"""Slips of the tube: inches or millimetres in the box of centimetres."""

from service.science.kit_reading import highest_readable
from service.science.qa.slips.slip import Proposal, Slip, nearest_line, rewritten
from service.science.types import Reading, Visit
from service.science.units import convert

LONGER_THAN_ANY_TUBE_CM = 130
READING_OF_A_FULL_TUBE_CM = 1.0
ROUNDED_TO_A_TENTH_INCH_CM = 0.15


def _inches(reading: Reading, visit: Visit) -> Proposal | None:
    """Inches need the past of the site, but for a full tube of which a tenth of an inch was written."""
    if reading.written_unit != "cm":
        return None
    depth_cm = convert(reading.written_value, "in", "cm")
    kit = reading.kit
    if kit is None:
        return Proposal(rewritten(reading, nearest_line(reading, depth_cm, 1)), needs_season=True)
    length_cm = convert(highest_readable(kit), kit.unit, "cm")
    beyond_cm = depth_cm - length_cm
    if beyond_cm > READING_OF_A_FULL_TUBE_CM:
        return None
    is_full = abs(beyond_cm) <= READING_OF_A_FULL_TUBE_CM
    written_full = abs(beyond_cm) <= ROUNDED_TO_A_TENTH_INCH_CM
    meant_cm = length_cm if is_full else nearest_line(reading, depth_cm, 1)
    return Proposal(rewritten(reading, meant_cm), needs_season=not written_full)


def _millimetres(reading: Reading, visit: Visit) -> Proposal | None:
    if reading.written_unit != "cm" or reading.written_value <= LONGER_THAN_ANY_TUBE_CM:
        return None
    return Proposal(rewritten(reading, nearest_line(reading, reading.written_value / 10, 0.1)))


INCHES = Slip(
    "inches-as-centimetres",
    frozenset({"transparency"}),
    _inches,
    "Was it read in inches? Then it would be {would_be}.",
)
MILLIMETRES = Slip(
    "millimetres-as-centimetres",
    frozenset({"transparency"}),
    _millimetres,
    "Was it read in millimetres? Then it would be {would_be}.",
)
