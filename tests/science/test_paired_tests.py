"""Paired differences against printed figures, against SciPy, and against all patterns of signs one by one."""

import math
import random
from itertools import combinations_with_replacement, product
from statistics import median

import numpy as np
import pytest
from scipy import stats

from service.science import paired_tests
from tests.science.check_table import numbers, rows

OXYGEN = rows("paired_days_oxygen")
FIGURES = rows("paired_tests_oxygen")
# Whole, half and censored-like steps, many ties and zeros, as readings by kit are.
DRAWN = [
    [random.Random(seed).choice([-2, -1, -0.5, 0, 0, 0.5, 1, 3]) for _ in range(6 + seed % 6)]
    for seed in range(25)
]


def differences(upstream: str, downstream: str) -> list[float]:
    return [float(day[downstream]) - float(day[upstream]) for day in OXYGEN]


@pytest.mark.parametrize("row", FIGURES, ids=lambda row: row["reach"])
def test_every_figure_of_the_worked_example(row):
    found = differences(row["upstream"], row["downstream"])
    signs = paired_tests.count_signs(found)
    ranks = paired_tests.signed_rank_test(found)
    bounds = paired_tests.shift_interval(found)
    assert (signs.plus, signs.minus, signs.zero) == tuple(
        int(row[name]) for name in ("plus", "minus", "zero")
    )
    assert (ranks.w_plus, ranks.w_most, ranks.n) == tuple(
        float(row[name]) for name in ("w_plus", "w_most", "ranked")
    )
    worked_out = {
        "sign_p": paired_tests.sign_test(signs.plus, signs.minus),
        "signed_rank_p": ranks.p,
        "hodges_lehmann": paired_tests.hodges_lehmann(found),
        "low": bounds.low,
        "high": bounds.high,
        "coverage_percent": 100 * bounds.coverage,
    }
    expected = {name: float(row[name]) for name in worked_out}
    assert worked_out == pytest.approx(expected, abs=float(row["tolerance"]))


def test_ties_made_of_noise_are_ties():
    # 8.8 - 8.6 and 9.2 - 9.0 differ by 1e-15 in binary; ranked apart they give 0.640625.
    noisy = differences("upstream", "middle")
    assert len({abs(one) for one in noisy}) > 2
    assert paired_tests.signed_rank_test(noisy).p == 0.7265625
    assert paired_tests.count_signs([10.6 - 10.4 - 0.2]).zero == 1
    assert paired_tests.hodges_lehmann([10.6 - 10.4]) == 0.2


@pytest.mark.parametrize(("days", "expected", "tolerance"), numbers("paired_smallest_p"))
def test_the_smallest_chance_that_a_number_of_days_can_show(days, expected, tolerance):
    days = int(days)
    assert paired_tests.sign_test(0, days) == pytest.approx(expected, abs=tolerance or 1e-15)
    every_day_lower = [-1.0 - day for day in range(days)]
    assert paired_tests.signed_rank_test(every_day_lower).p == pytest.approx(expected, abs=tolerance or 1e-15)


@pytest.mark.parametrize(("plus", "minus"), [(0, 6), (3, 5), (5, 5), (7, 2), (40, 61), (1, 0)])
def test_signs_as_the_exact_binomial_of_scipy(plus, minus):
    expected = stats.binomtest(plus, plus + minus).pvalue
    assert paired_tests.sign_test(plus, minus) == pytest.approx(expected, rel=1e-12)
    assert paired_tests.sign_test(minus, plus) == paired_tests.sign_test(plus, minus)


@pytest.mark.parametrize("found", DRAWN)
def test_signed_ranks_with_ties_and_zeros_as_the_permutations_of_scipy(found):
    every_pattern = stats.PermutationMethod(n_resamples=np.inf)
    expected = stats.wilcoxon(found, method=every_pattern)
    ranks = paired_tests.signed_rank_test(found)
    assert min(ranks.w_plus, ranks.w_most - ranks.w_plus) == expected.statistic
    assert ranks.p == pytest.approx(expected.pvalue, rel=1e-12)


@pytest.mark.parametrize("reach", [("upstream", "middle"), ("middle", "downstream")])
def test_signed_ranks_as_scipy_does_it_unasked(reach):
    rounded = np.round(differences(*reach), 9)
    assert paired_tests.signed_rank_test(rounded).p == pytest.approx(
        stats.wilcoxon(rounded).pvalue, rel=1e-12
    )


@pytest.mark.parametrize("count", [21, 40, 60])
def test_signed_ranks_of_more_than_twenty_days_as_the_exact_method_of_scipy(count):
    without_ties = [(-1) ** (day % 3) * (day + 0.25) for day in range(1, count + 1)]
    expected = stats.wilcoxon(without_ties, method="exact").pvalue
    assert paired_tests.signed_rank_test(without_ties).p == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("found", DRAWN[:6])
def test_signed_ranks_as_all_patterns_listed_one_by_one(found):
    moved = [one for one in found if one]
    ranks = stats.rankdata(np.abs(moved))
    sums = [
        sum(ranks[place] for place, up in enumerate(ups) if up) for ups in product((0, 1), repeat=len(moved))
    ]
    observed = sum(rank for rank, one in zip(ranks, moved, strict=True) if one > 0)
    lower = sum(one <= observed for one in sums) / len(sums)
    upper = sum(one >= observed for one in sums) / len(sums)
    assert paired_tests.signed_rank_test(found).p == pytest.approx(min(1, 2 * min(lower, upper)), abs=1e-12)


def test_nothing_but_zeros_shows_nothing():
    assert paired_tests.signed_rank_test([0.0] * 8).p == 1.0
    assert paired_tests.sign_test(0, 0) == 1.0


@pytest.mark.parametrize("found", DRAWN[:8])
def test_the_middle_is_the_median_of_the_means_of_all_two(found):
    expected = median(sum(two) / 2 for two in combinations_with_replacement(found, 2))
    assert paired_tests.hodges_lehmann(found) == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize("count", [6, 7, 12, 25])
def test_bounds_hold_what_the_exact_distribution_of_the_ranks_says(count):
    spread = [math.sqrt(day) for day in range(1, count + 1)]
    bounds = paired_tests.shift_interval(spread)
    means = sorted(sum(two) / 2 for two in combinations_with_replacement(spread, 2))
    place = next(place for place, mean in enumerate(means) if mean == pytest.approx(bounds.low))
    assert bounds.high == pytest.approx(means[-1 - place])
    # As many signed-rank sums lie outside as the k-th mean says, and one place further in is too narrow.
    inside = [1 - 2 * _chance_up_to(count, one) for one in (place, place + 1)]
    assert bounds.coverage == pytest.approx(inside[0])
    assert inside[0] >= 0.95 > inside[1]


def _chance_up_to(count: int, most: int) -> float:
    """The chance of a sum of positive ranks of at most this, through SciPy."""
    ups = _ranks_with_sum(count, most)
    signed = [rank if rank in ups else -rank for rank in range(1, count + 1)]
    return float(stats.wilcoxon(signed, method="exact", alternative="less").pvalue)


def _ranks_with_sum(count: int, wanted: int) -> set[int]:
    chosen: set[int] = set()
    for rank in range(count, 0, -1):
        if rank <= wanted:
            chosen.add(rank)
            wanted -= rank
    return chosen


def test_open_differences_leave_the_middle_where_order_leaves_it():
    highs = [-2.0] * 8 + [math.inf] * 3
    lows = [-math.inf] * 11
    assert paired_tests.hodges_lehmann(highs) == -2.0  # 30 of the 66 means of two are open above
    assert paired_tests.hodges_lehmann(lows) == -math.inf


def test_chances_of_several_tests():
    # By hand after Holm 1979: 3 x 0.01, 2 x 0.03, and 0.04 may not fall below that.
    assert paired_tests.holm([0.01, 0.04, 0.03]) == pytest.approx((0.03, 0.06, 0.06))
    assert paired_tests.holm([0.6, 0.7]) == (1.0, 1.0)
    assert paired_tests.holm([]) == ()


@pytest.mark.parametrize(
    "refused",
    [
        lambda: paired_tests.sign_test(-1, 3),
        lambda: paired_tests.signed_rank_test([1.0, math.inf]),
        lambda: paired_tests.hodges_lehmann([]),
        lambda: paired_tests.shift_interval([1.0] * 5),
    ],
)
def test_what_cannot_be_computed_is_refused(refused):
    with pytest.raises(ValueError):
        refused()
