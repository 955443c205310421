from math import inf

import pytest

from service.science.derived.hardness import total_hardness
from service.science.types import Censoring, Kit
from tests.science.kits import read
from tests.science.qa.visits import visit_with

DROPS = Kit("calcium-drops", "drops", "drop-count", "calcium", "mg/L", 4, 400, step=4, reads_zero=False)
CALCIUM, MAGNESIUM = read("calcium", 40.0), read("magnesium", 12.0)


def derived(*readings):
    return total_hardness(visit_with(*readings))


def test_a_worked_example():
    # 2.49728 x 40 + 4.11792 x 12 (IUPAC abridged atomic weights 2021)
    found = derived(CALCIUM, MAGNESIUM)
    assert found.value == found.low == found.high == pytest.approx(149.306, abs=1e-3)
    assert (found.parameter, found.unit) == ("hardness", "mg/L as CaCO3")


def test_lower_ends_belong_together_and_upper_ends_too():
    # 38 to 42 mg/L of calcium by half a drop: 5 mg/L to either side
    found = derived(read("calcium", 40.0, kit=DROPS), MAGNESIUM)
    assert (found.low, found.high) == pytest.approx((149.306 - 4.995, 149.306 + 4.995), abs=1e-3)


def test_limits_stay_limits():
    found = derived(read("calcium", 0.0, kit=DROPS), MAGNESIUM)
    # less than 4 mg/L of calcium beside 12 of magnesium: 49.415 to 59.404
    assert found.censored is Censoring.BELOW
    assert (found.low, found.high) == pytest.approx((49.415, 59.404), abs=1e-3)
    assert derived(CALCIUM, read("magnesium", 100.0, censored=">")).high == inf


def test_one_limit_up_and_one_down_tell_nothing():
    with pytest.raises(ValueError):
        derived(read("calcium", 4.0, censored="<"), read("magnesium", 100.0, censored=">"))


def test_it_is_not_worked_out_where_it_was_read_or_one_is_missing():
    assert derived(CALCIUM, MAGNESIUM, read("hardness", 150.0)) is None
    assert derived(CALCIUM) is derived(MAGNESIUM) is None
