"""One metric: what it is frozen at, and its scores. The rules: EPA 841-B-99-002, section 9.1.1, step 4.

The second way of reckoning beside the service's: quantiles of the standard library ("inclusive" is the type 7
of Hyndman and Fan), and bounds written out in the unit of the metric, for each way of scoring and direction.
"""

from statistics import quantiles

import numpy as np
import pytest

from service.science.scores.metric_scoring import (
    FrozenMetric,
    Scoring,
    bounds_of,
    frozen_metric,
    score_metric,
)

# Ten invented reference visits: families of mayflies, stoneflies and caddisflies, and a tolerance index.
FAMILIES = [5.0, 9.0, 7.0, 8.0, 6.0, 11.0, 7.0, 9.0, 10.0, 4.0]
TOLERANCE = [3.71, 4.02, 3.15, 3.88, 4.4, 2.95, 3.5, 3.62, 4.85, 3.33]


def freeze(scoring: Scoring, *, rises: bool) -> FrozenMetric:
    values, worst = (TOLERANCE, 10.0) if rises else (FAMILIES, 0.0)
    return frozen_metric("a-metric", 1, values, rises_with_disturbance=rises, worst=worst, scoring=scoring)


def score(metric: FrozenMetric, *values: float) -> list[float]:
    return [float(found) for found in score_metric(metric, np.array(values))]


def second_way(scoring: Scoring, rises: bool, value: float) -> float:
    """Score a value by bounds in the unit of the metric."""
    values, worst = (TOLERANCE, 10.0) if rises else (FAMILIES, 0.0)
    if scoring is Scoring.QUARTILES:
        lower_quartile, _, upper_quartile = quantiles(values, n=4, method="inclusive")
        five = upper_quartile if rises else lower_quartile
        three = (five + worst) / 2
    else:
        twentieths = quantiles(values, n=20, method="inclusive")
        best = twentieths[0] if rises else twentieths[-1]
        if scoring is Scoring.CONTINUOUS:
            percent = (
                100 * (worst - value) / (worst - best) if rises else 100 * (value - worst) / (best - worst)
            )
            return min(100.0, max(0.0, percent))
        third = abs(best - worst) / 3
        five, three = (best + third, best + 2 * third) if rises else (best - third, best - 2 * third)
    if rises:
        return 5.0 if value <= five else 3.0 if value <= three else 1.0
    return 5.0 if value >= five else 3.0 if value >= three else 1.0


@pytest.mark.parametrize("rises", [False, True])
@pytest.mark.parametrize("scoring", list(Scoring))
def test_two_ways_of_reckoning_agree_over_the_whole_range(scoring: Scoring, rises: bool) -> None:
    metric = freeze(scoring, rises=rises)
    values = [round(place * 0.07 - 1, 2) for place in range(200)]  # -1 to 12.93, past both ends
    expected = [second_way(scoring, rises, value) for value in values]
    assert score(metric, *values) == pytest.approx(expected, abs=1e-9)
    assert len(set(expected)) >= 3


@pytest.mark.parametrize(
    ("scoring", "rises", "best", "bounds"),
    [
        # Sorted: 4 5 6 7 7 8 9 9 10 11. The quantile p lies at place 9p, counted from 0: 0.25 at 2.25,
        # between 6 and 7; 0.95 at 8.55, between 10 and 11.
        (Scoring.QUARTILES, False, 6.25, (3.125, 6.25)),
        (Scoring.PERCENTILES, False, 10.55, (10.55 / 3, 2 * 10.55 / 3)),
        (Scoring.CONTINUOUS, False, 10.55, None),
        # Sorted: 2.95 3.15 3.33 3.5 3.62 3.71 3.88 4.02 4.4 4.85. 0.75 at 6.75: 3.88 + 0.75 x 0.14; 0.05 at
        # 0.45: 2.95 + 0.45 x 0.2.
        (Scoring.QUARTILES, True, 3.985, (6.9925, 3.985)),
        (Scoring.PERCENTILES, True, 3.04, (10 - 6.96 / 3, 10 - 2 * 6.96 / 3)),
        (Scoring.CONTINUOUS, True, 3.04, None),
    ],
)
def test_the_frozen_numbers_are_those_reckoned_by_hand(
    scoring: Scoring, rises: bool, best: float, bounds: tuple[float, float] | None
) -> None:
    metric = freeze(scoring, rises=rises)
    assert metric.best == pytest.approx(best)
    assert bounds_of(metric) == (None if bounds is None else pytest.approx(bounds))


@pytest.mark.parametrize("scoring", [Scoring.QUARTILES, Scoring.PERCENTILES])
@pytest.mark.parametrize("rises", [False, True])
def test_a_value_on_a_bound_gets_the_better_score(scoring: Scoring, rises: bool) -> None:
    metric = freeze(scoring, rises=rises)
    bounds = bounds_of(metric)
    assert bounds is not None
    assert score(metric, *bounds) == [3.0, 5.0]
    little = 1e-6 if rises else -1e-6
    assert score(metric, bounds[0] + little, bounds[1] + little) == [1.0, 3.0]


@pytest.mark.parametrize("scoring", list(Scoring))
def test_what_is_not_a_number_stays_so(scoring: Scoring) -> None:
    assert np.isnan(score(freeze(scoring, rises=False), float("nan")))


@pytest.mark.parametrize(
    ("values", "rises", "worst", "said"),
    [
        ([7.0] * 12, False, 0.0, "the same in every reference visit"),
        ([7.0], False, 0.0, "the same in every reference visit"),
        ([0.0] * 9 + [3.0], False, 0.0, "no better than the worst"),
        ([100.0] * 9 + [60.0], True, 100.0, "no better than the worst"),
        ([3.0, 4.0, 5.0], False, 9.0, "no better than the worst"),
    ],
)
def test_a_metric_that_tells_nothing_cannot_be_frozen(
    values: list[float], rises: bool, worst: float, said: str
) -> None:
    # EPA 841-B-99-002, section 9.1.1, step 2: metrics with too many zeros at the reference sites go.
    with pytest.raises(ValueError, match=said):
        frozen_metric("m", 1, values, rises_with_disturbance=rises, worst=worst, scoring=Scoring.QUARTILES)
