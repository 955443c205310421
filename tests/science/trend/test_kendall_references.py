"""Random series with ties and gaps against pymannkendall, scipy, and counting by brute force."""

from itertools import combinations, permutations

import numpy as np
import pymannkendall
import pytest
from scipy import stats

from service.science.trend.mann_kendall import kendall_score, score_distribution
from service.science.trend.seasonal_kendall import normal_p, seasonal_kendall
from service.science.trend.sen_slope import seasonal_slope
from service.science.trend.serial_dependence import adjusted_for_dependence, score_covariances
from tests.science.trend.series import random_table

SEEDS = range(20)
pytestmark = pytest.mark.filterwarnings("ignore::RuntimeWarning")  # the libraries' own, on whole ties


@pytest.mark.parametrize("seed", SEEDS)
def test_one_series_is_that_of_pymannkendall_and_scipy(seed):
    series = random_table(seed, years=12, months=1)
    found, theirs = seasonal_kendall(series), pymannkendall.original_test(series[:, 0])
    assert (found.s, found.variance, found.z, normal_p(found.z), found.tau) == pytest.approx(
        (theirs.s, theirs.var_s, theirs.z, theirs.p, theirs.Tau)
    )
    slope = seasonal_slope(range(2010, 2022), series, series, found.variance)
    lines = stats.theilslopes(series[:, 0], range(2010, 2022), alpha=0.95)
    assert slope.low == slope.high == pytest.approx(theirs.slope)
    # scipy rounds the ranks that are interpolated here; the next slopes on both sides bound the difference.
    ordered = np.sort([(b - a) / (j - i) for (i, a), (j, b) in combinations(enumerate(series[:, 0]), 2)])
    for ours, rounded in ((slope.lower, lines.low_slope), (slope.upper, lines.high_slope)):
        place = np.flatnonzero(np.isclose(ordered, rounded))
        assert ordered[max(place[0] - 1, 0)] - 1e-9 <= ours <= ordered[min(place[-1] + 1, 65)] + 1e-9


@pytest.mark.parametrize("seed", SEEDS)
def test_several_months_with_gaps_are_those_of_pymannkendall(seed):
    table = random_table(seed, missing=0.2)
    found = seasonal_kendall(table)
    theirs = pymannkendall.seasonal_test(table.ravel(), period=table.shape[1])
    assert (found.s, found.variance, found.z, normal_p(found.z)) == pytest.approx(
        (theirs.s, theirs.var_s, theirs.z, theirs.p)
    )
    slope = seasonal_slope(range(len(table)), table, table, found.variance)
    assert slope.low == slope.high == pytest.approx(theirs.slope)


@pytest.mark.parametrize("seed", SEEDS)
def test_without_gaps_the_adjusted_variance_is_that_of_pymannkendall(seed):
    table = random_table(seed, years=11)
    theirs = pymannkendall.correlated_seasonal_test(table.ravel(), period=table.shape[1])
    found = adjusted_for_dependence(table, seasonal_kendall(table).s)
    assert found is not None
    assert found.variance == pytest.approx(theirs.var_s)
    assert normal_p(seasonal_kendall(table).s / found.variance**0.5) == pytest.approx(theirs.p, abs=1e-6)


@pytest.mark.parametrize("seed", SEEDS)
def test_with_gaps_the_diagonal_is_the_variance_of_each_month(seed):
    table = random_table(seed, missing=0.3)
    alone = [seasonal_kendall(table[:, [month]]).variance for month in range(table.shape[1])]
    assert np.diag(score_covariances(table)) == pytest.approx(alone)


def covariance_by_pairs(first, second):
    """Equation 14 of Hirsch & Slack 1984 in loops, a missing value at the middle rank."""
    years = len(first)

    def rank(series, year):
        there = [value for value in series if not np.isnan(value)]
        if np.isnan(series[year]):
            return (len(there) + 1) / 2
        return (len(there) + 1 + sum(np.sign(series[year] - value) for value in there)) / 2

    concordance = sum(
        np.nan_to_num(np.sign((first[j] - first[i]) * (second[j] - second[i])))
        for i, j in combinations(range(years), 2)
    )
    ranks = sum(rank(first, year) * rank(second, year) for year in range(years))
    sizes = [np.sum(~np.isnan(series)) + 1 for series in (first, second)]
    return (concordance + 4 * ranks - years * sizes[0] * sizes[1]) / 3


@pytest.mark.parametrize("seed", SEEDS)
def test_with_gaps_the_covariances_are_those_of_the_equation(seed):
    table = random_table(seed, months=3, missing=0.3)
    found = score_covariances(table)
    for g, h in combinations(range(3), 2):
        assert found[g, h] == pytest.approx(covariance_by_pairs(table[:, g], table[:, h]))


@pytest.mark.parametrize("values", [(1, 2, 3, 4, 5, 6), (7, 7, 7, 8, 8, 9), (1, 1, 1, 2), (5, 5, 5, 5)])
def test_the_chances_are_those_of_every_order(values):
    scores = [kendall_score(np.array(order, dtype=float)) for order in permutations(values)]
    chances = score_distribution(np.array(values, dtype=float))
    most = len(chances) - 1
    counted = [scores.count(most - 2 * place) / len(scores) for place in range(len(chances))]
    assert max(scores) == most
    assert chances == pytest.approx(counted)


def test_without_ties_p_is_that_of_scipy():
    series = np.random.default_rng(3).permutation(9).astype(float)
    theirs = stats.kendalltau(range(9), series, method="exact")
    assert seasonal_kendall(series[:, np.newaxis]).p == pytest.approx(theirs.pvalue)


def test_the_p_of_two_months_is_that_of_all_pairs_of_orders():
    first, second = (1.0, 2.0, 2.0, 4.0), (3.0, 3.0, 5.0, 6.0)
    found = seasonal_kendall(np.array([first, second]).T)
    scores = [
        kendall_score(np.array(one)) + kendall_score(np.array(other))
        for one in permutations(first)
        for other in permutations(second)
    ]
    assert found.p == pytest.approx(sum(abs(s) >= abs(found.s) for s in scores) / len(scores))
