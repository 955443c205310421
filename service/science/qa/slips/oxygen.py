"""Slips of oxygen: percent in the box of mg/L, mg/L in the box of percent, and both exchanged."""

from dataclasses import replace

from service.science.derived.oxygen_saturation import oxygen_saturation_of
from service.science.qa.slips.slip import Proposal, Slip, nearest_line, rewritten
from service.science.types import Reading, Visit

MG_PER_L, PERCENT = "dissolved_oxygen", "dissolved_oxygen_saturation"
CARDS = frozenset({"comparator", "strip", "drop-count"})  # nobody can take percent from them


def percent_of_one_mg_per_l(reading: Reading, visit: Visit) -> float | None:
    """Return how many percent of saturation 1 mg/L is in this water [%/(mg/L)], ``None`` if not known."""
    one = replace(reading, value=1.0, low=1.0, high=1.0, censored=None)
    percent = oxygen_saturation_of(one, visit)
    return None if percent is None else percent.value


def _percent_as_mg_per_l(reading: Reading, visit: Visit) -> Proposal | None:
    percent = reading.written_value
    if reading.kit is not None and reading.kit.kind in CARDS:
        return None
    one_mg_per_l = percent_of_one_mg_per_l(reading, visit)
    if one_mg_per_l is None or not (percent > 20 or percent * one_mg_per_l > 200):
        return None
    return Proposal(rewritten(reading, nearest_line(reading, percent / one_mg_per_l, 0.1)))


def _percent_on_meter(reading: Reading, visit: Visit) -> Proposal | None:
    is_worked_out = reading.kit is not None and reading.kit.kind != "meter"
    return None if is_worked_out else _percent_as_mg_per_l(reading, visit)


def _mg_per_l_as_percent(reading: Reading, visit: Visit) -> Proposal | None:
    oxygen, mg_per_l = visit.first(MG_PER_L), reading.written_value
    if mg_per_l >= 20 or (oxygen is not None and abs(oxygen.written_value - mg_per_l) >= 0.3):
        return None
    one_mg_per_l = percent_of_one_mg_per_l(reading, visit)
    if one_mg_per_l is None:
        return None
    return Proposal(rewritten(reading, nearest_line(reading, mg_per_l * one_mg_per_l, 1)))


def _exchanged(reading: Reading, visit: Visit) -> Proposal | None:
    oxygen, percent = visit.first(MG_PER_L), visit.first(PERCENT)
    if oxygen is None or percent is None:
        return None
    one_mg_per_l = percent_of_one_mg_per_l(oxygen, visit)
    if one_mg_per_l is None or not (
        abs(oxygen.written_value - percent.written_value * one_mg_per_l) <= 10
        and abs(percent.written_value - oxygen.written_value * one_mg_per_l) > 30
    ):
        return None
    true_oxygen = rewritten(oxygen, percent.written_value)
    true_percent = rewritten(percent, oxygen.written_value)
    if reading.parameter == MG_PER_L:
        return Proposal(true_oxygen, true_percent)
    return Proposal(true_percent, true_oxygen)


_PERCENT_QUESTION = "Is it percent of saturation? Then it would be {would_be}."
PERCENT_ON_METER = Slip("percent-as-mg-per-l", frozenset({MG_PER_L}), _percent_on_meter, _PERCENT_QUESTION)
PERCENT_WORKED_OUT = Slip(
    "percent-as-mg-per-l", frozenset({MG_PER_L}), _percent_as_mg_per_l, _PERCENT_QUESTION
)
MG_PER_L_IN_PERCENT = Slip(
    "mg-per-l-as-percent",
    frozenset({PERCENT}),
    _mg_per_l_as_percent,
    "Is it mg/L and not percent? Then it would be {would_be}.",
)
OXYGEN_BOXES = Slip(
    "oxygen-boxes-exchanged",
    frozenset({MG_PER_L, PERCENT}),
    _exchanged,
    "Did mg/L and percent change places? Then it would be {would_be}.",
)
