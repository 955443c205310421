import math

import numpy as np
import pytest
from scipy import optimize, stats

from service.science.bacteria import (
    Bound,
    GeometricMean,
    Share,
    geometric_mean_at_limits,
    geometric_mean_bounds,
    geometric_mean_model,
    share_above,
)
from service.science.types import Censoring

BELOW, ABOVE = Censoring.BELOW, Censoring.ABOVE
INTERVAL = {"": lambda x: (x, x), "<": lambda x: (0.0, x), ">": lambda x: (x, math.inf)}
SIDES = "<1 12 45 88 130 260 410 >2419.6"


def counts(text):
    return [
        (float(one[1:]), Censoring(one[0])) if one[0] in "<>" else (float(one), None) for one in text.split()
    ]


def intervals(text):
    return [INTERVAL[mark or ""](value) for value, mark in counts(text)]


@pytest.mark.parametrize(
    ("text", "value", "mark"),
    [
        # exp(mean(ln x)), computed outside this project
        ("52 110 340 20 201", 95.196329, Bound.EXACT),
        (SIDES, 79.485895, None),
        # order alone: raising one count raises the mean, lowering one lowers it
        ("20 45 >30", 30.0, Bound.AT_LEAST),
        ("<30 20 45", 30.0, Bound.AT_MOST),
        ("7", 7.0, Bound.EXACT),
        (">2419.6", 2419.6, Bound.AT_LEAST),
        ("<100", 100.0, Bound.AT_MOST),
    ],
)
def test_geometric_mean_at_limits(text, value, mark):
    assert value == pytest.approx(stats.gmean([count for count, _ in counts(text)]))
    assert geometric_mean_at_limits(counts(text)) == GeometricMean(pytest.approx(value), mark)


def test_the_fitted_mean_of_limits_on_both_sides():
    # lognormal maximum likelihood, computed outside this project
    found = geometric_mean_model(counts(SIDES))
    assert found.value == pytest.approx(81.11417, abs=0.01)
    assert (found.log_mean, found.log_sd) == pytest.approx((4.395858, 2.866483), abs=1e-6)


@pytest.mark.parametrize(
    "text",
    [
        SIDES,
        "<100 <100 120 200 400 900",
        "20 31 44 >200 >200",
        "<1 <10 5 9 18 60 >2419.6 >200",
        "95 96 97 <1 >2419.6",
        "5 9 18 60 75",
    ],
)
def test_the_fit_is_the_highest_point_of_the_likelihood(text):
    # scipy 1.x: numerical maximum of the likelihood of censored normal logarithms
    logs = np.log([value for value, _ in counts(text)])
    marks = [mark for _, mark in counts(text)]

    def minus_log_likelihood(at):
        mean, deviation = at[0], math.exp(at[1])
        terms = {None: stats.norm.logpdf, BELOW: stats.norm.logcdf, ABOVE: stats.norm.logsf}
        return -sum(terms[mark](log, mean, deviation) for log, mark in zip(logs, marks, strict=True))

    start = (logs.mean(), math.log(logs.std()))
    options = {"xatol": 1e-10, "fatol": 1e-12, "maxiter": 10_000}
    best = optimize.minimize(minus_log_likelihood, start, method="Nelder-Mead", options=options)
    found = geometric_mean_model(counts(text))
    assert (found.log_mean, found.log_sd) == pytest.approx((best.x[0], math.exp(best.x[1])), rel=1e-5)


@pytest.mark.parametrize(("mark", "log_limit", "log_mean"), [(BELOW, -20, 9.975), (ABOVE, 40, 10.025)])
def test_a_limit_many_deviations_away_does_not_break_the_fit(mark, log_limit, log_mean):
    # that far out what lies beyond the limit lies next to it: 30 / 1201 away from the 1200 others, by hand
    close = [(math.exp(10 + (x % 3 - 1) / 1e4), None) for x in range(1200)]
    found = geometric_mean_model([*close, (math.exp(log_limit), mark)])
    assert found.log_mean == pytest.approx(log_mean, abs=1e-3)


def test_a_limit_that_tells_nothing_changes_nothing():
    numbers = [(math.exp(10 + x / 10), None) for x in range(9)]
    found = geometric_mean_model([*numbers, (1e-9, ABOVE)])
    assert found.log_mean == pytest.approx(10.4, abs=1e-6)


@pytest.mark.parametrize("text", ["1 2 3 4", "<1 <1 <1 2 3", "100 100 100 <500 <500", "<1 <1 <1 <1 >5"])
def test_counts_that_cannot_carry_a_fit(text):
    assert geometric_mean_model(counts(text)) is None


@pytest.mark.parametrize("text", ["<1 <1 2 3 4", "<1 <1 2 >3 4 5"])
def test_half_of_them_numbers_carry_a_fit(text):
    assert geometric_mean_model(counts(text)) is not None


@pytest.mark.parametrize("mean", [geometric_mean_at_limits, geometric_mean_model])
@pytest.mark.parametrize("refused", [[], [(0.0, None)], [(5.0, None), (-1.0, None)], [(math.inf, None)]])
def test_no_colony_is_never_0(mean, refused):
    with pytest.raises(ValueError, match=r"no counts|not above 0"):
        mean(refused)


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("20 45", 30.0, 30.0),
        ("<20 45", 0.0, 30.0),
        ("20 >45", 30.0, math.inf),
        ("<20 >45", 0.0, math.inf),
    ],
)
def test_bounds_of_the_mean(text, low, high):
    # the root of 20 x 45 is 30
    assert geometric_mean_bounds(intervals(text)) == pytest.approx((low, high))


def test_bounds_of_the_mean_of_plates():
    # one colony in 1 mL reads 100 and may be 50 to 150, four 400 and 350 to 450 (half a step)
    found = geometric_mean_bounds([(50.0, 150.0), (350.0, 450.0)])
    assert found == pytest.approx((math.sqrt(50 * 350), math.sqrt(150 * 450)))


@pytest.mark.parametrize(
    ("text", "share"),
    [
        ("410 411 20 86", Share(1, 1, 4)),
        (">2419.6 20", Share(1, 1, 2)),
        ("<500 20", Share(0, 1, 2)),
        ("<410 20", Share(0, 0, 2)),
        (">410 20", Share(1, 1, 2)),
        (">400 20", Share(0, 1, 2)),
        ("<500 >2419.6 20 900", Share(2, 3, 4)),
    ],
)
def test_share_above(text, share):
    # counted by hand: a limit decides only where all that it leaves open lies on one side
    found = share_above(intervals(text), 410.0)
    assert found == share
    assert found.percent_at_least == 100 * share.at_least / share.samples
    assert found.percent_at_most == 100 * share.at_most / share.samples


@pytest.mark.parametrize("ask", [geometric_mean_bounds, lambda none: share_above(none, 410.0)])
def test_of_no_counts_there_is_no_answer(ask):
    with pytest.raises(ValueError, match="no counts"):
        ask([])
