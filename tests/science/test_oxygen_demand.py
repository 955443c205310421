import pytest

from service.science.bottles import Bottles
from service.science.oxygen_demand import demand_or_limit, is_five_days_at_20_degrees, oxygen_demand
from service.science.types import Censoring
from tests.science.check_table import rows

ROWS = [
    (
        Bottles(
            float(row["first_mg_per_l"]), float(row["last_mg_per_l"]), 120, 20, float(row["sample_share"])
        ),
        Censoring(row["censored"]) if row["censored"] else None,
        float(row["expected"]),
        float(row["tolerance"]),
    )
    for row in rows("oxygen_demand")
]


@pytest.mark.parametrize(("bottles", "censored", "expected", "tolerance"), ROWS)
def test_demand_or_limit(bottles, censored, expected, tolerance):
    value, found = demand_or_limit(bottles)
    assert (value, found) == (pytest.approx(expected, abs=tolerance), censored)


def test_a_last_bottle_with_a_little_more_is_a_small_drop():
    assert demand_or_limit(Bottles(8.0, 8.4, 120, 20)) == (2.0, Censoring.BELOW)


@pytest.mark.parametrize(
    "bottles",
    [Bottles(6.0, 8.0, 120, 20), Bottles(1.0, 0.2, 120, 20), Bottles(0.8, 0.8, 120, 20)],
    ids=["exchanged", "nothing to use up", "spent at first"],
)
def test_bottles_that_tell_nothing(bottles):
    with pytest.raises(ValueError):
        demand_or_limit(bottles)


@pytest.mark.parametrize(
    ("first", "last", "share"), [(25.1, 8, 1), (-0.1, 0, 1), (8, -1, 1), (8, 25.1, 1), (8, 5, 0), (8, 5, 1.1)]
)
def test_outside_the_valid_range_there_is_no_value(first, last, share):
    with pytest.raises(ValueError):
        oxygen_demand(first, last, share)


@pytest.mark.parametrize(
    ("hours", "temperature_c", "is_standard"),
    [
        # 5 days, give or take 6 h, at 20 degC, give or take 1: Standard Methods 5210 B (from memory)
        (120, 20, True),
        (114, 19, True),
        (126, 21, True),
        (113.99, 20, False),
        (126.01, 20, False),
        (120, 18.99, False),
        (120, 21.005, False),
    ],
)
def test_five_days_at_20_degrees(hours, temperature_c, is_standard):
    assert is_five_days_at_20_degrees(Bottles(8, 5, hours, temperature_c)) is is_standard


def test_undiluted_goes_without_saying_and_a_bottle_may_hold_none():
    assert oxygen_demand(8.0, 0.0) == 8.0
    assert oxygen_demand(0.0, 0.0) == 0.0
