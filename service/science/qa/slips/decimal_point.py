"""Slips of the decimal point: left out, or one place too far to the left."""

from dataclasses import dataclass

from service.science.qa.slips.slip import Proposal, Slip, rewritten
from service.science.types import Reading, Visit


@dataclass(frozen=True, slots=True)
class Believable:
    """No stream is above ``impossible_above``; the point belongs where ``least`` to ``most`` comes out."""

    impossible_above: float
    least: float
    most: float


BELIEVABLE = {
    "water_temperature": Believable(45, 0, 35),
    "ph": Believable(14, 4, 10),
    "dissolved_oxygen": Believable(25, 2, 18),
}  # [unit of storage]
PH_OF_NO_STREAM_BELOW = 1
POWERS_OF_TEN = (10, 100, 1000)


def _left_out(reading: Reading, visit: Visit) -> Proposal | None:
    value, believable = reading.written_value, BELIEVABLE.get(reading.parameter)
    if believable is None or reading.written_unit != reading.unit or value <= believable.impossible_above:
        return Proposal(rewritten(reading, _tidy(value / 10)), needs_season=True)
    with_point = (_tidy(value / power) for power in POWERS_OF_TEN)
    meant = next((one for one in with_point if believable.least <= one <= believable.most), None)
    return None if meant is None else Proposal(rewritten(reading, meant))


def _too_far_left(reading: Reading, visit: Visit) -> Proposal | None:
    is_impossible = reading.parameter == "ph" and reading.written_value < PH_OF_NO_STREAM_BELOW
    return Proposal(rewritten(reading, _tidy(reading.written_value * 10)), needs_season=not is_impossible)


def _tidy(value: float) -> float:
    return float(f"{value:.12g}")


LEFT_OUT = Slip(
    "decimal-point-lost",
    frozenset(),
    _left_out,
    "Is the decimal point missing? Then it would be {would_be}.",
)
TOO_FAR_LEFT = Slip(
    "decimal-point-too-far-left",
    frozenset(),
    _too_far_left,
    "Is a digit missing, or the decimal point one place too far left? Then it would be {would_be}.",
)
