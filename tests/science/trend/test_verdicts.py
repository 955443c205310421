"""What is said of a course of years, rule by rule."""

from datetime import date
from math import inf

import pytest

from service.science.trend.judge import judge_trend
from service.science.trend.monthly_medians import Observation
from service.science.trend.verdict import Verdict, exceeds_one_step
from service.science.trend.wording import Subject

PH = Subject("pH", "std units", "readings", "kind of kit", "a kit that nobody noted")
SPRING = (4, 5, 6)


def course(values, months=SPRING, *, first_year=2015, step=0.1, method="meter"):
    """Return one observation a month of each year, all with the value of the year."""
    return [
        Observation(date(year, month, 10), value, value, method, "kit", step)
        for year, value in enumerate(values, start=first_year)
        for month in months
    ]


def judged(observations, subject=PH):
    return judge_trend(sorted(observations, key=lambda one: one.on), subject)


def told(trend):
    return " ".join((trend.text, *trend.reasons))


RISING = (7.0, 7.2, 7.3, 7.5, 7.8, 8.0)
STEADY = (7.5, 7.2, 7.6, 7.3, 7.4, 7.5)
LONG = (7.0, 7.1, 7.3, 7.2, 7.5, 7.4, 7.7, 7.8, 7.9, 8.1)


@pytest.mark.parametrize(
    ("values", "verdict"),
    [
        (RISING, Verdict.RISING),
        (RISING[::-1], Verdict.FALLING),
        (STEADY, Verdict.NO_TREND_SHOWN),
        (LONG, Verdict.RISING),
        (LONG[::-1], Verdict.FALLING),
    ],
)
def test_a_course_is_named(values, verdict):
    found = judged(course(values))
    assert found.verdict is verdict
    assert found.text.startswith(f"pH is {verdict}:" if verdict.endswith("ing") else "No trend shown:")


def test_the_words_tell_slope_interval_change_and_p():
    # by hand: slopes of three equal months are those of one; their median is (0.2 + 0.2) / 2
    found = judged(course((7.0, 7.2, 7.4, 7.6, 7.8, 8.0)))
    assert found.text == (
        "pH is rising: 0.2 per year (95 % interval 0.2 to 0.2), 1 from 2015 to 2020; "
        "p below 0.001, not adjusted for serial dependence; the level is 0.05."
    )
    assert found.evidence.years == (2015, 2016, 2017, 2018, 2019, 2020)
    assert found.evidence.table.months == SPRING


@pytest.mark.parametrize(
    ("observations", "lack"),
    [
        ([], "values in 0 years, and 5 are needed"),
        (course(RISING[:1]), "values in 1 year, and 5"),
        (course(RISING[:4]), "values in 4 years, and 5"),
        (course(RISING, SPRING[:2]), "2 months (April, May) of the year have values in 5 years, and 3 such"),
        (course(RISING, SPRING[:1]), "1 month (April) of the year has values in 5 years, and 3 such"),
        (course(RISING[:4]) + course(RISING[4:], (1, 2, 3), first_year=2019), "no month of the year has"),
    ],
)
def test_too_little_is_said_to_be_too_little_and_has_no_p(observations, lack):
    found = judged(observations)
    assert found.verdict is Verdict.NOT_ENOUGH_DATA
    assert found.evidence.results is None
    assert lack in found.text


def test_five_years_of_three_months_are_enough():
    found = judged(course(RISING[:5]))
    assert found.evidence.results is not None


def test_under_ten_years_p_is_said_to_be_unadjusted():
    short, long = judged(course(LONG[:9])), judged(course(LONG))
    assert short.evidence.results.adjusted is None
    assert "is not adjusted" in told(short)
    assert long.evidence.results.adjusted is not None
    assert "is not adjusted" not in told(long)
    assert "adjusted for serial dependence p" in long.text


def test_months_that_only_repeat_each_other_prove_nothing():
    # twelve months that move as one are one series of ten years, whatever their number: its exact p is 0.088
    wave = (7.2, 7.0, 7.4, 7.1, 7.7, 7.3, 7.2, 7.9, 7.5, 7.6)
    found = judged(course(wave, tuple(range(1, 13))))
    assert found.evidence.results.test.p < 0.001
    assert found.evidence.results.adjusted.p > 0.05
    assert found.verdict is Verdict.NO_TREND_SHOWN
    assert "(serial dependence) p = 0." in found.text


def test_a_change_within_one_step_of_the_kit_is_no_news():
    slow = (7.0, 7.02, 7.05, 7.06, 7.08, 7.1)
    assert judged(course(slow, step=0.05)).verdict is Verdict.RISING
    coarse = judged(course(slow, step=0.5))
    assert coarse.verdict is Verdict.NO_TREND_SHOWN
    assert "not more than one step of the kit, 0.5" in coarse.text


def test_a_change_of_just_one_step_does_not_exceed_it():
    line = tuple(7 + 0.1 * year for year in range(6))
    assert judged(course(line, step=0.5)).verdict is Verdict.NO_TREND_SHOWN
    assert judged(course(line, step=0.49)).verdict is Verdict.RISING


def test_the_coarsest_kit_decides():
    found = judged(course(RISING[:3], step=0.5) + course(RISING[3:], first_year=2018, step=0.1))
    assert found.evidence.step == 0.5


def test_a_slope_of_0_with_a_small_p_is_put_in_words():
    # two of ten years differ, and they are the last: the ranks see it, the middle of 45 slopes does not
    flat = (7.0,) * 7 + (7.5,) * 3
    found = judged(course(flat, step=0.1))
    assert found.evidence.results.test.p < 0.05
    assert found.evidence.results.slope.low == 0
    assert found.verdict is Verdict.NO_TREND_SHOWN
    assert "the middle change between two years is 0" in found.text
    assert "may be one jump" in told(found)


def test_a_slope_that_may_be_one_jump_is_said_to_be_one():
    found = judged(course((7.5,) * 6 + (8.0,) * 4, step=0.1))
    assert found.verdict is Verdict.RISING
    assert "2 different values occur" in told(found)
    assert "different values" not in told(judged(course(LONG)))


def test_a_change_of_kit_is_not_taken_for_a_change_of_the_stream():
    observations = course((5.0,) * 6, method="comparator") + course(STEADY, first_year=2021)
    found = judged(observations)
    assert found.verdict is Verdict.NO_TREND_SHOWN
    assert found.evidence.years[0] == 2021
    assert "Left out: 18 by comparator." in told(found)


def test_kits_that_nobody_noted_leave_the_step_open():
    found = judged(course(RISING, step=None, method=PH.unknown_method))
    assert found.verdict is Verdict.RISING
    assert found.evidence.step is None
    assert "Nobody noted with which kit" in told(found)


def test_months_with_too_few_years_are_named_and_left_out():
    found = judged(course(RISING) + course((1, 2, 3, 4), (7,)))
    assert found.verdict is Verdict.RISING
    assert "Left out, with values in under 5 years: July." in told(found)


NITRATE = Subject("nitrate", "mg/L as N", "readings", "kind of kit", "a kit that nobody noted")


def below(limit, month, year):
    return Observation(date(year, month, 10), 0.0, limit, "meter", "kit", 0.001)


def test_several_limits_are_cut_at_the_highest_and_the_cost_is_told():
    rising = course((0.3, 0.4, 0.6, 0.9, 1.2, 1.5), step=0.05)
    observations = [*rising, below(0.25, 4, 2014), below(0.5, 5, 2014), below(0.5, 6, 2014)]
    found = judged(observations, NITRATE)
    assert found.verdict is Verdict.RISING
    # 0.3 and 0.4 of three months, and "<0.25"
    assert "everything below 0.5 mg/L as N counts as the same; 7 monthly medians lost detail" in told(found)


def test_one_limit_costs_nothing_and_is_not_told():
    found = judged([*course(RISING), *(below(1.0, month, 2014) for month in SPRING)], NITRATE)
    assert found.evidence.limit.changed == 0
    assert "counts as the same" not in told(found)


def test_a_direction_without_a_size_is_not_called_a_trend():
    # nothing found for six years, then a colour: by hand 0.1 at the least in nine, half a step of the kit
    never = [below(0.5, month, year) for year in range(2010, 2016) for month in SPRING]
    found = judged([*never, *course((0.6, 0.6, 0.6, 0.6), first_year=2016, step=0.25)], NITRATE)
    assert found.evidence.results.test.p < 0.05
    assert found.verdict is Verdict.NO_TREND_SHOWN
    assert "too many are only known as below or above a limit" in found.text


def test_a_slope_that_may_go_either_way_is_not_called_a_trend():
    # two years of colour after eight of none: 28 of 45 pairs of years are two of "<0.5", apart by -0.5 to 0.5
    never = [below(0.5, month, year) for year in range(2010, 2018) for month in SPRING]
    for step in (None, 0.001):
        found = judged([*never, *course((0.6, 0.6), first_year=2018, step=step)], NITRATE)
        assert found.evidence.results.test.p < 0.05
        assert found.evidence.results.change_low < 0 < found.evidence.results.change_high
        assert found.verdict is Verdict.NO_TREND_SHOWN
        assert exceeds_one_step(found.evidence) is None


def test_limits_that_cross_are_not_enough_data():
    above = [Observation(date(2021, month, 10), 6.0, inf, "meter", "kit", 0.1) for month in SPRING]
    found = judged([*course(RISING), *above, *(below(9.0, month, 2022) for month in SPRING)], NITRATE)
    assert found.verdict is Verdict.NOT_ENOUGH_DATA
    assert "none between them" in found.text
