"""The tests and the slope give the digits of worked examples; each has its source in the table."""

from collections.abc import Callable

import numpy as np
import pytest

from service.science.trend.mann_kendall import kendall_score, pairs, score_distribution, score_variance
from service.science.trend.seasonal_kendall import PMethod, normal_p, seasonal_kendall
from service.science.trend.sen_slope import Slope, seasonal_slope
from service.science.trend.serial_dependence import adjusted_for_dependence
from tests.science.check_table import rows
from tests.science.trend.series import SERIES, Numbers


def slope_of(table: Numbers) -> Slope:
    return seasonal_slope(range(len(table)), table, table, seasonal_kendall(table).variance)


def adjusted_variance(table: Numbers) -> float:
    found = adjusted_for_dependence(table, seasonal_kendall(table).s)
    assert found is not None
    return found.variance


def counted_p(table: Numbers) -> float:
    chances = score_distribution(table[:, 0])
    scores = len(chances) - 1 - 2 * np.arange(len(chances))
    return float(chances[np.abs(scores) >= abs(kendall_score(table[:, 0]))].sum())


FIGURES: dict[str, Callable[[Numbers], float]] = {
    "s": lambda table: seasonal_kendall(table).s,
    "variance": lambda table: seasonal_kendall(table).variance,
    "z": lambda table: seasonal_kendall(table).z,
    "normal_p": lambda table: normal_p(seasonal_kendall(table).z),
    "exact_p": counted_p,
    "tau": lambda table: seasonal_kendall(table).tau,
    "slope": lambda table: slope_of(table).low,
    "interval_low": lambda table: slope_of(table).lower,
    "interval_high": lambda table: slope_of(table).upper,
    "adjusted_variance": adjusted_variance,
    # That library does not correct for continuity here; the program of the method's own author does.
    "adjusted_p_without_continuity": lambda table: normal_p(
        seasonal_kendall(table).s / adjusted_variance(table) ** 0.5
    ),
}


@pytest.mark.parametrize("row", rows("trend_figures"), ids=lambda row: f"{row['series']}: {row['figure']}")
def test_figure(row):
    found = FIGURES[row["figure"]](SERIES[row["series"]])
    assert found == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


@pytest.mark.parametrize(("place", "row"), list(enumerate(rows("trend_seasons"))))
def test_each_season_alone(place, row):
    season = SERIES["seasonal"][:, [place]]
    tolerance = float(row["tolerance"])
    assert pairs(season[:, 0]) == int(row["n"]) * (int(row["n"]) - 1) / 2
    assert kendall_score(season[:, 0]) == int(row["s"])
    assert score_variance(season[:, 0]) == pytest.approx(float(row["variance"]), abs=tolerance)
    assert slope_of(season).low == pytest.approx(float(row["slope"]), abs=tolerance)


@pytest.mark.parametrize(
    ("years", "smallest_p"),
    # two of n! orders are the extreme ones: 2/24, 2/120, 2/720
    [(4, 0.0833333), (5, 0.0166667), (6, 0.0027778)],
)
def test_the_smallest_p_that_few_years_can_reach(years, smallest_p):
    found = seasonal_kendall(np.arange(years, dtype=float)[:, np.newaxis])
    assert (found.p, found.method) == (pytest.approx(smallest_p, abs=1e-6), PMethod.EXACT)


@pytest.mark.parametrize(
    ("values", "method"),
    [
        (range(10), PMethod.NORMAL),
        (range(9), PMethod.EXACT),
        ([7, 7, 7, 7, 1, 2, 3, 4, 5, 6], PMethod.NORMAL),
        ([7, 7, 7, 7, 7, 2, 3, 4, 5, 6], PMethod.EXACT),
    ],
)
def test_p_is_counted_under_ten_years_and_where_half_of_the_values_are_the_same(values, method):
    found = seasonal_kendall(np.array(values, dtype=float)[:, np.newaxis])
    assert found.method is method


def test_values_that_are_all_the_same_show_nothing():
    same = np.full((6, 3), 7.5)
    found = seasonal_kendall(same)
    assert (found.s, found.variance, found.z, found.p) == (0, 0, 0, 1)
    assert slope_of(same) == Slope(0, 0, 0, 0)
    assert adjusted_for_dependence(same, 0) is None


def test_the_example_of_a_missing_season_keeps_its_year():
    # equation 14 of Hirsch & Slack 1984 by hand on two months of which one lacks a year:
    # x = 1 2 3, y = 1 - 2; signs agree in the one pair that both have: K = 1; ranks 1 2 3 and 1 1.5 2,
    # 4 (1 + 3 + 6) - 3 (3 + 1)(2 + 1) = 4: (1 + 4) / 3
    table = np.array([[1.0, 1.0], [2.0, np.nan], [3.0, 2.0]])
    s, variances = 3 + 1, 3 * 2 * 11 / 18 + 2 * 1 * 9 / 18
    found = adjusted_for_dependence(table, s)
    assert found is not None
    assert found.variance == pytest.approx(variances + 2 * 5 / 3)
    assert found.z == pytest.approx((s - 1) / found.variance**0.5)
