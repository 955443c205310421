import math
from datetime import date
from statistics import NormalDist

import pytest

from service.science.bathing_criteria import CRITERIA, Verdict, compare, windows

MEETS, DOES_NOT_MEET, CANNOT_TELL = Verdict.MEETS, Verdict.DOES_NOT_MEET, Verdict.CANNOT_TELL
AT_36, AT_32 = CRITERIA
INF = math.inf


@pytest.mark.parametrize("criterion", CRITERIA)
def test_the_threshold_is_the_ninetieth_percentile_of_a_lognormal_spread(criterion):
    # US EPA 820-F-12-058: deviation of the decimal logarithm 0.4; printed rounded
    quantile = criterion.geometric_mean * 10 ** (0.4 * NormalDist().inv_cdf(0.9))
    assert criterion.threshold == pytest.approx(quantile, rel=0.02)


def test_the_threshold_of_the_higher_pair_to_its_digits():
    # computed from the formula above: 410.196
    assert AT_36.geometric_mean * 10 ** (0.4 * NormalDist().inv_cdf(0.9)) == pytest.approx(410.196, abs=1e-3)
    assert AT_36.threshold == 410.0


def test_the_two_pairs():
    # US EPA 820-F-12-058, table of recommendations 1 and 2
    found = [(one.illnesses_per_1000, one.geometric_mean, one.threshold) for one in CRITERIA]
    assert found == [(36, 126.0, 410.0), (32, 100.0, 320.0)]


def exact(*values):
    return [(float(value), float(value)) for value in values]


@pytest.mark.parametrize(
    ("counts", "mean", "share", "together"),
    [
        # by hand from the criteria: mean not above 126, not more than 10 % above 410
        (exact(126, 126, 126, 126, 126), MEETS, MEETS, MEETS),
        (exact(127, 126, 126, 126, 126), DOES_NOT_MEET, MEETS, DOES_NOT_MEET),
        (exact(10, 10, 10, 10, 411), MEETS, DOES_NOT_MEET, DOES_NOT_MEET),
        (exact(*[10] * 9, 411), MEETS, MEETS, MEETS),
        (exact(*[10] * 8, 411), MEETS, DOES_NOT_MEET, DOES_NOT_MEET),
        # a full tray: the mean has no upper end
        ([*exact(*[10] * 9), (2419.6, INF)], CANNOT_TELL, MEETS, CANNOT_TELL),
        ([*exact(10, 10, 10, 10), (0.0, 500.0)], MEETS, CANNOT_TELL, CANNOT_TELL),
        ([*exact(127, 127, 127, 127), (0.0, 20.0)], MEETS, MEETS, MEETS),
        # one of ten above is allowed, and the other decides nothing
        ([*exact(*[10] * 8, 411), (0.0, 500.0)], MEETS, CANNOT_TELL, CANNOT_TELL),
        # plates of 1 mL whose steps reach across 126
        ([(50.0, 150.0)] * 5, CANNOT_TELL, MEETS, CANNOT_TELL),
        # four samples are too few, whatever they read
        (exact(9000, 9000, 9000, 9000), CANNOT_TELL, CANNOT_TELL, CANNOT_TELL),
    ],
)
def test_thirty_days_beside_the_criterion(counts, mean, share, together):
    found = compare(counts, AT_36)
    assert (found.geometric_mean, found.share_above, found.together) == (mean, share, together)


def test_the_stricter_pair_is_stricter():
    counts = exact(110, 110, 110, 110, 110)
    assert compare(counts, AT_36).together is MEETS
    assert compare(counts, AT_32).together is DOES_NOT_MEET


def test_nobody_is_told_that_a_law_was_broken():
    assert {verdict.value for verdict in Verdict} == {
        "meets the value",
        "does not meet the value",
        "cannot tell",
    }


def test_windows_of_thirty_days_end_on_each_date_with_a_sample():
    dates = [date(2025, 6, 1), date(2025, 6, 1), date(2025, 6, 30), date(2025, 7, 1), date(2025, 9, 1)]
    found = [(one.first.isoformat(), one.last.isoformat(), list(one.samples)) for one in windows(dates)]
    # counted on the calendar, both ends inclusive
    assert found == [
        ("2025-05-03", "2025-06-01", [0, 1]),
        ("2025-06-01", "2025-06-30", [0, 1, 2]),
        ("2025-06-02", "2025-07-01", [2, 3]),
        ("2025-08-03", "2025-09-01", [4]),
    ]


def test_without_samples_there_is_no_window():
    assert windows([]) == []
