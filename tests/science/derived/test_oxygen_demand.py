from dataclasses import replace
from math import inf

import pytest

from service.science.bottles import Bottles
from service.science.derived.oxygen_demand import (
    DOUBT_UNKNOWN,
    NOT_FIVE_DAYS,
    TOO_SMALL,
    USED_UP,
    demand_of_bottles,
)
from service.science.types import Censoring
from tests.science.qa.visits import visit_with


def derived(*bottles):
    return demand_of_bottles(replace(visit_with(), bottles=Bottles(*bottles) if bottles else None))


def test_five_days_at_20_degrees_have_earned_the_name():
    # 8.9 - 6.1 mg/L (Standard Methods 5210 B, from memory)
    found = derived(8.9, 6.1, 120, 20)
    assert (found.parameter, found.unit, found.assumed) == ("oxygen_demand_5day", "mg/L", (DOUBT_UNKNOWN,))
    assert found.value == found.low == found.high == pytest.approx(2.8)
    assert derived(8.6, 4.2, 120, 20, 0.1).value == pytest.approx(44.0)


@pytest.mark.parametrize(
    ("bottles", "value", "low", "high", "censored", "reason"),
    [
        ((8.9, 6.1, 100, 20), 2.8, 2.8, 2.8, None, NOT_FIVE_DAYS),
        ((8.9, 6.1, 120, 23), 2.8, 2.8, 2.8, None, NOT_FIVE_DAYS),
        ((8.9, 7.0, 120, 20), 2.0, 0.0, 2.0, Censoring.BELOW, TOO_SMALL),
        ((8.9, 7.9, 120, 20, 0.5), 4.0, 0.0, 4.0, Censoring.BELOW, TOO_SMALL),
        ((8.6, 0.5, 120, 20, 0.02), 380.0, 380.0, inf, Censoring.ABOVE, USED_UP),
    ],
)
def test_what_has_not_is_a_drop_with_the_reason(bottles, value, low, high, censored, reason):
    found = derived(*bottles)
    assert found.parameter == "oxygen_drop"
    assert (found.value, found.low, found.high) == pytest.approx((value, low, high))
    assert (found.censored, found.assumed) == (censored, (reason, DOUBT_UNKNOWN))


def test_every_reason_is_told():
    assert derived(8.6, 0.5, 100, 20).assumed == (NOT_FIVE_DAYS, USED_UP, DOUBT_UNKNOWN)


def test_without_bottles_there_is_nothing():
    assert derived() is None
