"""Values below and above limits: what ranks and slopes may make of them, by order alone."""

from math import inf, nan

import numpy as np
import pytest

from service.science.trend.censoring import cut_at_one_limit
from service.science.trend.seasonal_kendall import seasonal_kendall
from service.science.trend.sen_slope import Slope, seasonal_slope

BOUNDS = {"<": lambda x: (0.0, x), ">": lambda x: (x, inf), "": lambda x: (x, x)}


def cut(text):
    """Bring values written as one series to one limit."""
    bounds = [(nan, nan) if word == "-" else _bounds(word) for word in text.split()]
    lows, highs = np.array(bounds).T[:, :, np.newaxis]
    return cut_at_one_limit(lows, highs)


def _bounds(word):
    mark = word[0] if word[0] in BOUNDS else ""
    return BOUNDS[mark](float(word.removeprefix(mark)))


@pytest.mark.parametrize(
    ("values", "places", "limits", "changed"),
    [
        ("3 1 2", [3, 1, 2], (None, None), 0),
        # one limit: all "<1" tie with each other, below a 1 that was measured
        ("<1 1 <1 2", [-inf, 1, -inf, 2], (1, None), 0),
        # two limits (Helsel 2012: censor all at the highest): "<0.25", 0.3 and 0.4 become "<0.5"
        ("<0.25 0.3 0.4 0.5 <0.5 0.6", [-inf, -inf, -inf, 0.5, -inf, 0.6], (0.5, None), 3),
        # two tubes, of 60 and of 120 cm: 80 and ">120" become ">60"
        ("20 60 >60 80 >120 40", [20, 60, inf, inf, inf, 40], (None, 60), 2),
        ("<1 5 >12 8 - 1", [-inf, 5, inf, 8, nan, 1], (1, 12), 0),
        ("<5 5 >5", [-inf, 5, inf], (5, 5), 0),
    ],
)
def test_values_are_cut_at_the_highest_lower_and_the_lowest_upper_limit(values, places, limits, changed):
    found = cut(values)
    assert found is not None
    np.testing.assert_array_equal(found.places[:, 0], places)
    assert (found.lower_limit, found.upper_limit, found.changed) == (*limits, changed)


def test_limits_that_cross_leave_no_order():
    assert cut("<10 3 >8") is None


def test_a_median_between_two_bounds_counts_as_below_the_upper_one():
    # the median of "<1" and 3 lies between 1.5 and 2
    found = cut_at_one_limit(np.array([[1.5], [1.8], [2.0]]), np.array([[2.0], [1.8], [2.0]]))
    assert found is not None
    np.testing.assert_array_equal(found.places[:, 0], [-inf, -inf, 2])


def test_ties_at_a_limit_count_for_neither_side():
    # by hand: of six pairs one is tied at the limit, four rise and one falls
    found = cut("<1 <1 4 3")
    assert found is not None
    test = seasonal_kendall(found.places)
    assert (test.s, test.variance) == (3, pytest.approx((4 * 3 * 13 - 2 * 1 * 9) / 18))


def slope_of(text):
    found = cut(text)
    assert found is not None
    return seasonal_slope(
        range(len(found.places)), found.lows, found.highs, seasonal_kendall(found.places).variance
    )


def test_a_slope_is_a_number_where_the_middle_pair_is_free_of_limits():
    # by hand: six pairs without "<1" give 1, four with it 1 to 1.25 or more
    found = slope_of("<1 2 3 4 5")
    assert (found.low, found.high) == (1, 1)
    # one year fewer: three of six, so that the middle lies between 1 and (1 + 4/3) / 2
    found = slope_of("<1 2 3 4")
    assert (found.low, found.high) == pytest.approx((1, 7 / 6))


def test_a_slope_stays_open_where_limits_stand_in_its_way():
    # by hand: 0 to 1 against 2 or 3, a year or two apart; two of "<1" differ by 1 at most
    found = slope_of("<1 <1 3")
    assert (found.low, found.high) == (1, 1.5)
    assert slope_of(">5 >5 >5") == Slope(-inf, inf, -inf, inf)


@pytest.mark.parametrize("seed", range(20))
def test_whatever_the_hidden_values_were_their_slope_lies_within_the_bounds(seed):
    draws = np.random.default_rng(seed)
    true = draws.lognormal(0.0, 0.8, (8, 3)) + np.linspace(0, 0.5, 8)[:, np.newaxis]
    limits = draws.choice([0.5, 1.0], true.shape)
    lows, highs = np.where(true < limits, 0.0, true), np.where(true < limits, limits, true)
    lows, highs = np.where(true > 3, 3.0, lows), np.where(true > 3, inf, highs)
    found = cut_at_one_limit(lows, highs)
    assert found is not None
    variance = seasonal_kendall(found.places).variance
    bounds = seasonal_slope(range(8), found.lows, found.highs, variance)
    inside = seasonal_slope(range(8), true, true, variance)
    assert bounds.low <= inside.low <= bounds.high
    assert bounds.lower <= inside.lower
    assert inside.upper <= bounds.upper
