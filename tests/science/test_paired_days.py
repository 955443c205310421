"""Which days of two neighbouring sites are paired, and what lies between them on such a day."""

import math
from datetime import timedelta

import pytest

from service.science.reach import Verdict
from tests.science.stream_sites import FIRST, above, levels, only, pair, reading, tube


@pytest.mark.parametrize(
    ("same_hour", "minutes", "paired"), [(True, 120, 1), (True, 121, 0), (True, -121, 0), (False, 300, 1)]
)
def test_visits_more_than_two_hours_apart_do_not_count_where_the_hour_does(same_hour, minutes, paired):
    found = pair([reading(0, 9, 12)], [reading(0, 8, 12 + minutes / 60)], same_hour=same_hour)
    assert (len(found.days), found.hours_apart) == (paired, 1 - paired)


def test_days_of_one_site_alone_are_no_paired_days():
    found = pair([reading(0, 9), reading(2, 9)], [reading(1, 8), reading(2, 8)])
    assert [day.on for day in found.days] == [FIRST + timedelta(days=2)]
    assert (found.other_method, found.hours_apart) == (0, 0)


@pytest.mark.parametrize(
    ("upper", "lower", "same_school", "paired"),
    [
        ("meter", "meter", False, 1),
        ("meter", "comparator", True, 0),
        ("meter", None, True, 0),
        (None, None, True, 1),
        (None, None, False, 0),
    ],
)
def test_only_the_same_kind_of_kit_is_compared(upper, lower, same_school, paired):
    found = pair([reading(0, 9, method=upper)], [reading(0, 8, method=lower)], same_school=same_school)
    assert (len(found.days), found.other_method) == (paired, 1 - paired)


def test_of_two_kinds_of_kit_the_finer_counts():
    upper = [reading(0, 8, step=4.0, method="comparator"), reading(0, 9.3, step=0.1, method="meter")]
    lower = [reading(0, 4, step=4.0, method="comparator"), reading(0, 9.1, step=0.1, method="meter")]
    assert pair(upper, lower).days[0].difference == pytest.approx((-0.2, -0.2))


def test_two_boxes_of_two_schools_may_be_further_apart_than_a_step():
    upper, lower = [reading(0, 9, accuracy=0.4)], [reading(0, 8, accuracy=0.4)]
    assert pair(upper, lower, same_school=True).days[0].step == 0.2
    assert pair(upper, lower, same_school=False).days[0].step == 0.4
    above_all, own = levels("a", *[9.0] * 8, accuracy=0.4), {"accuracy": 0.4}
    assert only(above_all, levels("b", *[8.7] * 8, **own)).verdict == Verdict.CHANGES
    other = levels("b", *[8.7] * 8, school="otter", **own)
    assert only(above_all, other).verdict == Verdict.SMALLER_THAN_A_STEP


def test_several_readings_of_a_day_count_as_their_median():
    upper = [reading(0, value) for value in (9.0, 9.2, 14.0)]
    assert pair(upper, [reading(0, 9.0)]).days[0].difference == pytest.approx((-0.2, -0.2))


def test_where_the_hour_counts_the_two_nearest_visits_are_compared():
    upper = [reading(0, 7.0, 6), reading(0, 9.0, 10), reading(0, 9.4, 10)]
    found = pair(upper, [reading(0, 9.0, 11)], same_hour=True)
    assert found.days[0].difference == pytest.approx((-0.2, -0.2))
    assert found.days[0].later == timedelta(hours=1)


@pytest.mark.parametrize(
    ("upper", "lower", "difference", "certain"),
    [
        (above(0, 60), tube(0, 40), (-math.inf, -18), -18),  # at least 60, at most 42
        (tube(0, 40), above(0, 60), (18, math.inf), 18),
        (above(0, 60), tube(0, 58), (-math.inf, 0), 0),  # 58 may be 60
        (above(0, 60), above(0, 60), (-math.inf, math.inf), 0),
        (above(0, 60), above(0, 120), (-math.inf, math.inf), 0),
    ],
)
def test_a_limit_tells_a_direction_or_nothing(upper, lower, difference, certain):
    (day,) = pair([upper], [lower]).days
    assert (day.difference, day.certain, day.has_number) == (difference, certain, False)
