from dataclasses import replace

import numpy as np
import pytest

from service.science.ccme_index import Variable, ccme_index
from service.science.scores.index import Standing
from tests.science.ccme_series import criterion, example, number, said
from tests.science.scores.definitions import DEFINITIONS

DEFINITION = DEFINITIONS["ccme"]


def index_of(variables, period="2025", seed=1):
    return ccme_index(variables, period, DEFINITION, seed)


def variable(name, values, width=0.0, **limits):
    objective = criterion(name, **limits)
    return Variable(objective, tuple(number(value, objective, width) for value in values))


def four(*values, width=0.0, at_most=10.0):
    """Four variables that read the same."""
    return [variable(f"substance-{place}", values, width, at_most=at_most) for place in range(4)]


@pytest.mark.parametrize(
    ("changed", "failed_tests", "failed_variables", "nse", "factors", "value", "band"),
    [
        # invented series, worked by two independent programs of the CCME 2001 formula
        ({}, 11, 6, 0.196343097, (100.0, 31.428571, 16.411939), 38.741620, "poor"),
        (
            {"water_temperature": 24, "nitrate": 10},
            *(8, 4, 0.173485955, (66.666667, 22.857143, 14.783812), 58.423730, "marginal"),
        ),
    ],
)
def test_worked_examples(changed, failed_tests, failed_variables, nse, factors, value, band):
    found = index_of(example(**changed))
    assert (sum(one.tests for one in found.used), len(found.used)) == (35, 6)
    assert sum(one.failed for one in found.used) == failed_tests
    assert sum(one.failed > 0 for one in found.used) == failed_variables
    assert (found.f1, found.f2, found.f3) == pytest.approx(factors, abs=1e-6)
    assert found.nse == pytest.approx(nse, abs=1e-9)
    assert found.value == pytest.approx(value, abs=1e-4)
    assert (found.band, found.standing, found.at_most) == (band, Standing.RATED, False)


def test_the_published_example_of_ten_variables_at_one_river():
    # CCME 2001, user's manual (from memory, data not seen): 103 tests, 4 failed in 2 variables; 88 for any
    # amplitude up to 7
    good = [variable(f"good-{place}", [1.0] * 12, at_most=10) for place in range(5)]
    rare = [variable(f"rare-{place}", [1.0] * 4, at_most=10) for place in range(2)]
    missed = [variable(f"missed-{place}", [1.0] * 10 + [10.5] * 2, at_most=10) for place in range(2)]
    found = index_of([*good, *rare, *missed, variable("mercury", [1.0] * 11, at_most=10)])
    assert sum(one.tests for one in found.used) == 103
    assert (found.f1, found.f2) == pytest.approx((20.0, 3.883495), abs=1e-6)
    assert round(found.value) == 88


def test_a_site_that_misses_everything_by_far_has_0_and_not_less():
    # 100 - sqrt(3) * 100 / 1.732 is -0.0029
    found = index_of(four(*[1e12] * 4))
    assert (found.value, found.band) == (0.0, "poor")


def test_the_class_is_of_the_value_rounded_half_up_and_the_value_keeps_its_decimals():
    # one of 11 variables fails one of 99 tests by almost nothing: 100 - sqrt((100/11)^2 + (100/99)^2) / 1.732
    found = index_of([*(variable(f"v-{place}", [1.0] * 9, at_most=10) for place in range(10)),
                      variable("x", [1.0] * 8 + [10.0001], at_most=10)])  # fmt: skip
    assert found.value == pytest.approx(94.719, abs=1e-3)
    assert found.band == "excellent"


@pytest.mark.parametrize(
    ("samples", "number_of_variables", "standing", "band"),
    [
        (4, 4, Standing.RATED, "excellent"),
        (3, 4, Standing.TOO_FEW, None),
        (4, 3, Standing.TOO_FEW, None),
    ],
)
def test_four_variables_of_four_samples_are_needed_for_a_class(samples, number_of_variables, standing, band):
    # CCME 2001, user's manual: at least four variables, each sampled at least four times
    found = index_of(four(*[1.0] * samples)[:number_of_variables])
    assert (found.value, found.standing, found.band) == (100.0, standing, band)
    assert (found.bands != {}) == (band is not None)


def test_a_variable_that_was_sampled_too_seldom_is_left_out_when_enough_others_were_not():
    found = index_of([*four(*[1.0] * 4), variable("seldom", [99.0] * 3, at_most=10)])
    assert [one.variable.objective.parameter for one in found.tested if one.left_out] == ["seldom"]
    assert (found.value, found.standing, len(found.used)) == (100.0, Standing.PROVISIONAL, 4)


def test_with_too_few_variables_all_that_was_tested_makes_the_number():
    found = index_of([*four(*[1.0] * 4)[:3], variable("seldom", [20.0], at_most=10)])
    # F1 25, F2 100/13, nse 1/13: by hand
    assert found.value == pytest.approx(100 - np.sqrt(25**2 + (100 / 13) ** 2 + (100 / 14) ** 2) / 1.732)
    assert (found.standing, found.band) == (Standing.TOO_FEW, None)


@pytest.mark.parametrize("variables", [[], [variable("ph", [], at_least=6.5, at_most=9)]])
def test_without_any_test_there_is_no_number(variables):
    found = index_of(variables)
    assert (found.standing, found.value, found.band, found.low, found.bands) == (
        *(Standing.MISSING, None, None, None, {}),
    )


def test_what_lies_beyond_a_limit_that_does_not_decide_is_no_test():
    objective = criterion("nitrate", at_most=3)
    unsure = Variable(objective, tuple(said(text, objective) for text in ("1", "1", "1", "4", "<5")))
    found = index_of([*four(*[1.0] * 4), unsure])
    (nitrate,) = [one for one in found.used if one.variable is unsure]
    assert (nitrate.tests, nitrate.undecided, found.standing) == (4, 1, Standing.PROVISIONAL)
    # 1 of 20 tests, not of 21
    assert found.f2 == 5.0


def test_an_excursion_that_is_only_known_to_be_so_large_makes_the_value_the_best_it_can_be():
    objective = criterion("e_coli", at_most=410)
    full = Variable(objective, tuple(said(text, objective) for text in ("10", "20", "30", ">2419.6")))
    found = index_of([*four(*[1.0] * 4), full])
    assert (found.at_most, found.standing) == (True, Standing.PROVISIONAL)
    with_a_number = Variable(objective, tuple(said(text, objective) for text in ("10", "20", "30", "2419.6")))
    firm = index_of([*four(*[1.0] * 4), with_a_number])
    assert (firm.value, firm.at_most) == (found.value, False)


def test_zeros_that_half_a_step_stood_in_for_are_counted():
    objective = criterion(at_least=5)
    empty = Variable(objective, tuple(said(text, objective, step=0.1) for text in ("0", "8", "8", "0")))
    found = index_of([*four(*[1.0] * 4), empty])
    assert found.half_steps == 2
    # excursions 5 / 0.05 - 1 = 99 each, in 20 tests: by hand
    assert found.nse == pytest.approx(2 * 99 / 20)


def test_kits_that_reach_across_an_objective_leave_more_than_one_class():
    found = index_of(four(*[9.0] * 4, width=2.0))
    assert found.value == 100.0
    assert found.low < 50 < found.high <= 100
    assert len(found.bands) > 1
    assert sum(found.bands.values()) == pytest.approx(1.0)


def test_the_chance_of_meeting_everything_is_that_of_the_intervals():
    # 8 to 12 drawn evenly against 10: half of it is above. Of one test the chance to meet it is 1/2; here
    # sixteen tests of which only one is in doubt.
    sure = four(*[1.0] * 4)
    objective = sure[0].objective
    unsure = Variable(objective, (number(10.0, objective, 2.0), *sure[0].observations[1:]))
    found = index_of([unsure, *sure[1:]])
    assert found.bands["excellent"] == pytest.approx(0.5, abs=0.05)


def test_the_range_is_the_central_nine_tenths():
    # one test, 15 to 25 beside 10: nse 0.5 to 1.5, of which 0.55 and 1.45 cut off a twentieth each; by hand
    found = index_of([variable("one", [20.0], 5.0, at_most=10)])
    amplitudes = (100 * nse / (nse + 1) for nse in (1.45, 0.55))
    expected = [100 - np.sqrt(2 * 100**2 + f3**2) / 1.732 for f3 in amplitudes]
    assert (found.low, found.high) == pytest.approx(expected, abs=0.25)
    assert found.high - found.low == pytest.approx(expected[1] - expected[0], abs=0.2)


def test_without_kits_there_is_no_width():
    found = index_of(example())
    assert (found.low, found.high) == pytest.approx((found.value, found.value))
    assert found.bands == {"poor": 1.0}


def test_a_limit_stays_as_it_was_judged_in_every_draw():
    objective = criterion("transparency", at_least=30)
    tube = Variable(objective, tuple(said(">60", objective) for _ in range(4)))
    found = index_of([*four(*[1.0] * 4)[:3], tube])
    assert (found.low, found.high, found.bands) == (100.0, 100.0, {"excellent": 1.0})


def test_a_zero_within_the_interval_of_a_kit_does_no_harm():
    found = index_of([variable(f"v-{place}", [1.0] * 4, 1.0, at_least=5) for place in range(4)])
    assert np.isfinite([found.low, found.high]).all()


def test_the_same_data_always_get_the_same_numbers():
    unsure = four(*[9.0] * 4, width=2.0)
    assert index_of(unsure, seed=7) == index_of(unsure, seed=7)
    assert index_of(unsure, seed=7).low != index_of(unsure, seed=8).low


def test_the_key_is_the_same_for_the_same_variables_objectives_and_period_whatever_was_read():
    one, other = index_of(four(*[1.0] * 4)), index_of(four(*[20.0] * 5)[::-1])
    assert one.comparable_with == other.comparable_with


@pytest.mark.parametrize(
    "different",
    [
        index_of(four(*[1.0] * 4), period="2024"),
        index_of(four(*[1.0] * 4, at_most=11.0)),
        index_of([*four(*[1.0] * 4)[:3], variable("other", [1.0] * 4, at_most=10.0)]),
        index_of([*four(*[1.0] * 4), variable("more", [1.0] * 4, at_most=10.0)]),
        ccme_index(four(*[1.0] * 4), "2025", replace(DEFINITION, number=2), 1),
    ],
    ids=["period", "objective", "variable", "one more", "definition"],
)
def test_the_key_differs_with_what_the_number_was_made_of(different):
    assert different.comparable_with != index_of(four(*[1.0] * 4)).comparable_with


def by_formula(name):
    objective = criterion("ammonia", formula=name)
    on_the_day = replace(objective, at_most=2.0)
    return Variable(objective, tuple(number(1.0, on_the_day) for _ in range(4)))


def test_the_key_differs_with_the_formula_that_gives_the_limits():
    one, other = (index_of([*four(*[1.0] * 4), by_formula(name)]) for name in ("trout", "no trout"))
    assert one.value == other.value == 100.0
    assert one.comparable_with != other.comparable_with


def test_the_key_differs_with_a_lower_limit():
    one, other = (
        index_of([*four(*[1.0] * 4), variable("ph", [7.0] * 4, at_least=least, at_most=9.0)])
        for least in (6.0, 6.5)
    )
    assert one.comparable_with != other.comparable_with


def test_a_variable_that_is_left_out_does_not_change_the_key():
    seldom = variable("seldom", [1.0], at_most=10)
    with_it, without = index_of([*four(*[1.0] * 4), seldom]), index_of(four(*[1.0] * 4))
    assert with_it.comparable_with == without.comparable_with
