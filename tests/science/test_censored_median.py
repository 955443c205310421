from math import inf

import pytest

from service.science.censored_median import median_interval, percent_detected, quantile_interval
from service.science.types import Censoring
from tests.science.check_table import rows

INTERVAL = {"": lambda x: (x, x), "<": lambda x: (0.0, x), ">": lambda x: (x, inf)}


def intervals(name):
    return [INTERVAL[row["censored"]](float(row["value"])) for row in rows(name)]


def marks(name):
    return [Censoring(row["censored"]) if row["censored"] else None for row in rows(name)]


FULL_TUBE = (60.0, inf)


@pytest.mark.parametrize(
    ("readings", "expected"),
    [
        # Helsel 2012, Statistics for Censored Environmental Data, 2nd ed.: what order alone can say.
        # Twelve depths in a 60 cm tube, six of them beyond it: ">= 60 cm" (Kaplan-Meier reaches 0.5 at 60)
        (intervals("censored_tube"), (60.0, inf)),
        # one more beyond it: the middle reading is itself "> 60 cm"
        ([*intervals("censored_tube"), FULL_TUBE], (60.0, inf)),
        # oxygen by comparator, 2 of 14 below its first and 3 above its last colour: 6 mg/L
        (intervals("censored_do_mixed"), (6.0, 6.0)),
        # common practice: sort, the full tube is larger than everything at or below its length
        ([(12.0, 12.0), (25.0, 25.0), (40.0, 40.0), FULL_TUBE, FULL_TUBE], (40.0, 40.0)),
        ([(25.0, 25.0), FULL_TUBE, FULL_TUBE], (60.0, inf)),
        ([(7.0, 7.0), (8.0, 8.0)], (7.5, 7.5)),
        ([(6.5, 7.5)], (6.5, 7.5)),
    ],
)
def test_median_interval(readings, expected):
    assert median_interval(readings) == expected


def test_median_of_two_limits_holds_the_kaplan_meier_median():
    # nitrate with limits 0.25 and 0.5: Kaplan-Meier median 0.4 (scipy ecdf of the flipped data)
    low, high = median_interval(intervals("censored_nitrate"))
    assert (low, high) == pytest.approx((0.35, 0.5))
    assert low <= 0.4 <= high


@pytest.mark.parametrize(
    ("probability", "expected"),
    [
        # Kaplan-Meier quantiles of the same data (scipy): 0.8 and 1.5, where the curve meets p exactly
        (0.75, (0.8, 0.8)),
        (0.9, (1.5, 1.5)),
        # the lower quartile is not estimable: below the smallest limit
        (0.25, (0.0, 0.25)),
        (1.0, (3.0, 3.0)),
    ],
)
def test_quantile_interval(probability, expected):
    assert quantile_interval(intervals("censored_nitrate"), probability) == expected


def test_a_share_that_floating_point_puts_just_above_a_step_counts_as_the_step():
    # 0.07 x 100 is 7.000000000000001 in binary fractions: the 7th reading, not the 8th
    readings = [(float(x), float(x)) for x in range(1, 101)]
    assert quantile_interval(readings, 0.07) == (7.0, 7.0)


@pytest.mark.parametrize(
    ("name", "expected"),
    [("censored_nitrate", 55.0), ("censored_do_mixed", 100 * 12 / 14), ("censored_tube", 100.0)],
)
def test_percent_detected(name, expected):
    # counted by hand: 11 of 20, 12 of 14, 12 of 12
    assert percent_detected(marks(name)) == pytest.approx(expected)


@pytest.mark.parametrize("probability", [0.0, -0.1, 1.1, float("nan")])
def test_a_probability_outside_0_to_1_is_refused(probability):
    with pytest.raises(ValueError):
        quantile_interval([(1.0, 1.0)], probability)


@pytest.mark.parametrize(
    "ask", [median_interval, percent_detected, lambda none: quantile_interval(none, 0.5)]
)
def test_of_no_readings_there_is_no_answer(ask):
    with pytest.raises(ValueError):
        ask([])


def test_an_upside_down_reading_is_refused():
    with pytest.raises(ValueError):
        median_interval([(3.0, 2.0)])
