"""What was counted was written, and not what it stands for: drops of a bottle, colonies of a plate."""

from service.science.qa.slips.oxygen import MG_PER_L, percent_of_one_mg_per_l
from service.science.qa.slips.slip import NumberlessSlip, Proposal, Slip, rewritten
from service.science.types import Kit, Reading, Visit

COLONIES_COUNTABLE = 150
WRITTEN_FOR_TOO_MANY = frozenset({200.0, 300.0, 999.0})


def _counted_with(reading: Reading, kind: str) -> tuple[Kit, float] | None:
    """Return the kit and what one drop or colony stands for, if whole ones could have been counted."""
    kit = reading.kit
    if kit is None or kit.kind != kind or kit.step is None or reading.written_unit != kit.unit:
        return None
    return (kit, kit.step) if reading.written_value > 0 and reading.written_value.is_integer() else None


def _drops(reading: Reading, visit: Visit) -> Proposal | None:
    counted = _counted_with(reading, "drop-count")
    if counted is None:
        return None
    kit, one_drop = counted
    drops = reading.written_value
    if reading.parameter == MG_PER_L and not _are_drops_of_oxygen(drops, one_drop, reading, visit):
        return None
    return Proposal(rewritten(reading, drops * one_drop)) if drops * one_drop <= kit.upper else None


def _are_drops_of_oxygen(drops: float, one_drop: float, reading: Reading, visit: Visit) -> bool:
    one_mg_per_l = percent_of_one_mg_per_l(reading, visit)
    if not 10 <= drops <= 30 or one_mg_per_l is None:
        return False
    return 40 <= drops * one_drop * one_mg_per_l <= 130 and drops * one_mg_per_l > 150


def _colonies(reading: Reading, visit: Visit) -> Proposal | None:
    counted = _counted_with(reading, "plate")
    if counted is None or reading.written_value > COLONIES_COUNTABLE:
        return None
    return Proposal(rewritten(reading, reading.written_value * counted[1]))


def _too_many_to_count(reading: Reading, visit: Visit) -> bool:
    kit = reading.kit
    return kit is not None and kit.kind == "plate" and reading.written_value in WRITTEN_FOR_TOO_MANY


DROPS = Slip(
    "drops-not-multiplied",
    frozenset({MG_PER_L, "alkalinity", "hardness"}),
    _drops,
    "Is it the number of drops? Times what one drop stands for it would be {would_be}.",
)
COLONIES = Slip(
    "colonies-not-multiplied",
    frozenset({"e_coli"}),
    _colonies,
    "Is it the number of colonies on the plate? For 100 mL it would be {would_be}.",
)
TOO_MANY_TO_COUNT = NumberlessSlip(
    "too-many-to-count",
    frozenset({"e_coli"}),
    _too_many_to_count,
    "Were there too many colonies to count? Then write > and the highest number of your kit.",
)
