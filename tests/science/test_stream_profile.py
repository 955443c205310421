"""What a reach of a stream is said to do, by its paired days, its kits and its neighbours."""

import math

import pytest

from service.science.reach import Reach, Verdict
from service.science.stream_profile import days_needed, profile
from service.science.stream_profile_limits import limits_of
from service.science.stream_profile_words import where_it_changes
from tests.science.check_table import rows
from tests.science.stream_sites import TUBE, above, levels, only, reading, site, tube

# The worked example of three sites: the figures were worked out apart from this code.


@pytest.fixture
def worked_example() -> tuple[Reach, ...]:
    days = rows("paired_days_oxygen")
    return profile(
        [levels(name, *(float(day[name]) for day in days)) for name in ("upstream", "middle", "downstream")],
        swings_daily=True,
    )


def test_trouble_enters_in_the_lower_reach_of_the_worked_example(worked_example):
    upper, lower = worked_example
    assert (upper.verdict, lower.verdict) == (Verdict.NO_CHANGE, Verdict.CHANGES)
    assert lower.size.middle == (-1.2, -1.2)
    assert lower.size.bounds == (-1.6, -0.8)
    assert (upper.p, lower.p) == (0.7265625, 0.001953125)
    assert lower.adjusted_p == 2 * lower.p  # of two reaches, after Holm
    assert upper.adjusted_p == upper.p


# What a reach is said to do.


@pytest.mark.parametrize(
    ("step", "verdict"),
    [
        (1.1, Verdict.CHANGES),
        (1.2, Verdict.CHANGES),
        (1.3, Verdict.SMALLER_THAN_A_STEP),
        (None, Verdict.CHANGES),
    ],
)
def test_a_change_is_at_least_one_step(step, verdict):
    upper, lower = [8.8, 9.0, 9.2, 9.4, 9.6, 9.8], [7.6, 7.8, 8.0, 8.2, 8.4, 8.6]
    found = only(levels("a", *upper, step=step), levels("b", *lower, step=step))
    assert found.verdict == verdict


def test_signed_ranks_decide_where_every_day_has_a_number():
    found = only(levels("a", *[9.0] * 7), levels("b", 6.0, 6.5, 7.0, 7.5, 8.0, 8.5, 9.2))
    # By hand: one of seven signs differs, 2 x 8/128; it has rank 1 of 28, 2 x 2/128.
    assert (found.sign_p, found.signed_rank_p, found.p) == (0.125, 0.03125, 0.03125)


def test_a_middle_of_nothing_is_no_change_whatever_the_chance():
    found = only(levels("a", *[9.0] * 26, step=None), levels("b", *[8.0] * 6, *[9.0] * 20, step=None))
    assert (found.p, found.size.middle) == (0.03125, (0.0, 0.0))
    assert found.verdict == Verdict.SMALLER_THAN_A_STEP


def test_the_coarser_kit_of_a_day_gives_the_step():
    found = only(levels("a", *[9.0] * 6, step=0.1), levels("b", *[8.0] * 6, step=2.0))
    assert found.verdict == Verdict.SMALLER_THAN_A_STEP


def test_each_day_counts_in_the_steps_of_its_own_kit():
    # A card of 4 mg/L shows no difference on six days, a titrator 1 mg/L on seven: most of it 5 of its steps.
    coarse = [reading(day, 8.0, step=4.0) for day in range(6)]
    fine_above = [reading(day, 9.0) for day in range(6, 13)]
    fine_below = [reading(day, 8.0) for day in range(6, 13)]
    found = only(site("a", *coarse, *fine_above), site("b", *coarse, *fine_below))
    assert (found.verdict, found.steps) == (Verdict.CHANGES, (0.2, 4.0))
    # By hand: means of two are 0 (21), -2.5 (42) and -5 (28); the middle one of 91 is -2.5.
    assert found.size.certain_steps == -2.5


@pytest.mark.parametrize(("days", "verdict"), [(5, Verdict.NOT_ENOUGH_DAYS), (6, Verdict.CHANGES)])
def test_six_paired_days_are_enough(days, verdict):
    found = only(levels("a", *[9.0] * days), levels("b", *[8.0] * days))
    assert found.verdict == verdict
    assert (found.p is None) == (days < 6)
    assert found.signs.minus == days


def test_six_days_are_not_enough_for_two_reaches_at_once():
    found = profile(
        [levels("a", *[9.0] * 6), levels("b", *[8.0] * 6), levels("c", *[7.0] * 6)], swings_daily=False
    )
    assert [reach.adjusted_p for reach in found] == [0.0625, 0.0625]
    assert {reach.verdict for reach in found} == {Verdict.NO_CHANGE}
    assert "takes 7 days" in limits_of(found[0], TUBE, 2)[0]
    assert "Perhaps it changes between a and b, and between b and c" in where_it_changes(found, TUBE)


@pytest.mark.parametrize(("reaches", "days"), [(1, 6), (2, 7), (3, 7), (4, 8), (6, 8), (7, 9)])
def test_days_needed(reaches, days):
    assert days_needed(reaches) == days  # by hand: reaches x 2 / 2^days is 0.05 or less


def test_reaches_that_were_not_tested_do_not_weigh_on_the_others():
    found = profile([levels("a", *[9.0] * 6), levels("b", *[8.0] * 6), levels("c", 7.0)], swings_daily=False)
    assert [reach.verdict for reach in found] == [Verdict.CHANGES, Verdict.NOT_ENOUGH_DAYS]
    assert "Nothing can be said between b and c (1 day)" in where_it_changes(found, TUBE)


@pytest.mark.parametrize(
    ("seldom", "ways"),
    [
        ([[0], [0]], [("a", "d")]),  # both sites between were read once
        ([[*range(8)], [0]], [("a", "b"), ("b", "d")]),
        ([[], [0]], [("a", "d")]),
    ],
)
def test_sites_that_are_seldom_read_are_stepped_over(seldom, ways):
    between = [
        site(code, *(reading(day, 8.5) for day in days)) for code, days in zip("bc", seldom, strict=True)
    ]
    found = profile([levels("a", *[9.0] * 8), *between, levels("d", *[8.0] * 8)], swings_daily=False)
    assert [(reach.upstream, reach.downstream) for reach in found] == ways
    assert {reach.verdict for reach in found} == {Verdict.CHANGES}
    over = {code for reach in found for code in reach.over}
    assert over == set("abcd") - {code for way in ways for code in way}
    assert "between, read too seldom" in " ".join(limits_of(found[-1], TUBE, len(found)))


def test_sites_stay_where_stepping_over_them_tells_no_more():
    found = profile([levels("a", 9.0), levels("b", 8.5), levels("c", 8.0)], swings_daily=False)
    assert [(reach.upstream, reach.downstream, reach.over) for reach in found] == [
        ("a", "b", ()),
        ("b", "c", ()),
    ]


def test_only_the_newest_days_are_worked_through():
    found = only(levels("a", *[9.0] * 510), levels("b", *[9.0] * 10, *[8.0] * 500))
    assert (len(found.paired.days), found.older_days, found.signs.minus) == (500, 10, 500)
    assert "10 days (not needed" in limits_of(found, TUBE, 1)[0]


# Readings of which only a limit is known. A tube reads to 2 cm here.


def test_a_direction_without_a_number_leaves_the_sign_test():
    full, cloudy = [above(day, 60) for day in range(8)], [tube(day, 40 + day) for day in range(8)]
    found = only(site("a", *full), site("b", *cloudy))
    assert (found.signed_rank_p, found.p) == (None, 0.0078125)  # 2 in 2^8
    assert found.verdict == Verdict.CHANGES
    # The highest that is possible is 42 to 49 less 60; of 8 days the fourth largest mean of two bounds it.
    assert found.size.middle == (-math.inf, -14.5)
    assert found.size.bounds == (-math.inf, -12)
    told = where_it_changes([found], TUBE)
    assert told.startswith("Transparency falls between a and b by at least 14.5 cm: it was lower")
    assert 'On 8 days a reading was only known as "<" or ">"' in limits_of(found, TUBE, 1)[0]


def test_days_that_tell_no_direction_leave_the_ranks_of_the_others():
    upper = [tube(day, 50) for day in range(7)] + [above(day, 60) for day in range(7, 9)]
    lower = [tube(day, 40 + day) for day in range(7)] + [above(day, 60) for day in range(7, 9)]
    found = only(site("a", *upper), site("b", *lower))
    assert (found.signs.zero, found.signed_rank_p) == (2, 0.015625)  # 2 in 2^7


def test_days_that_tell_no_direction_make_make_a_change_smaller_not_larger():
    upper = [above(day, 60) for day in range(26)]
    lower = [tube(day, 40) for day in range(6)] + [above(day, 60) for day in range(6, 26)]
    found = only(site("a", *upper), site("b", *lower))
    assert (found.signs.minus, found.signs.zero, found.p) == (6, 20, 0.03125)
    assert found.size.middle == (-math.inf, math.inf)
    assert found.verdict == Verdict.SMALLER_THAN_A_STEP
    assert "as far as it is certain it is smaller" in where_it_changes([found], TUBE)
