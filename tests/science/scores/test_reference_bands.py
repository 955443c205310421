"""Bands of a multimetric index: the 25th percentile of the reference visits, and three equal parts below it.

The rule: EPA 841-B-99-002, section 9.1.1, step 5 and Figure 9-8. The reference visits are invented.
"""

from decimal import Decimal
from itertools import pairwise

import pytest

from service.science.scores.metric_scoring import Scoring
from service.science.scores.reference_bands import NAMES, range_of, reference_bands

FIVES = [13.0, 15.0, 11.0, 15.0, 13.0, 15.0, 15.0, 13.0, 15.0, 9.0]
HUNDREDS = [71.2, 88.4, 90.1, 95.0, 66.6, 79.9, 84.3, 91.7, 76.0, 82.5]


@pytest.mark.parametrize(
    ("reference", "scoring", "metrics", "lowers"),
    [
        # Sorted 9 11 13 13 ...: the 25th percentile is 13. From 3 on, 10 points in three parts: 6 1/3 and
        # 9 2/3; a sum of three odd numbers is odd, so the classes begin at 7 and 11.
        (FIVES, Scoring.QUARTILES, 3, ["13", "11", "7", "3"]),
        (FIVES, Scoring.PERCENTILES, 3, ["13", "11", "7", "3"]),
        # Sorted 66.6 71.2 76 79.9 ...: place 2.25 gives 76.975. A third is 25.658 1/3.
        (HUNDREDS, Scoring.CONTINUOUS, 4, ["77.0", "51.4", "25.7", "0"]),
    ],
)
def test_the_bands_are_those_reckoned_by_hand(
    reference: list[float], scoring: Scoring, metrics: int, lowers: list[str]
) -> None:
    bands = reference_bands(reference, scoring, metrics)
    assert [band.name for band in bands] == list(NAMES)
    assert [band.lower for band in bands] == [Decimal(lower) for lower in lowers]


@pytest.mark.parametrize(
    ("reference", "scoring", "step"), [(FIVES, Scoring.QUARTILES, "1"), (HUNDREDS, Scoring.CONTINUOUS, "0.1")]
)
def test_the_bands_leave_no_gap_and_reach_both_ends(
    reference: list[float], scoring: Scoring, step: str
) -> None:
    bands = reference_bands(reference, scoring, 3)
    assert (bands[-1].lower, bands[0].upper) == range_of(scoring, 3)
    for better, worse in pairwise(bands):
        assert better.lower is not None
        assert worse.upper is not None
        assert better.lower - worse.upper == Decimal(step)


def test_three_quarters_of_the_reference_visits_are_comparable_to_reference() -> None:
    top = reference_bands(HUNDREDS, Scoring.CONTINUOUS, 4)[0]
    assert (
        sum(top.lower <= Decimal(str(score)) for score in HUNDREDS) == 7
    )  # of 10; the next lower is below it


@pytest.mark.parametrize("reference", [[3.0] * 4 + [15.0] * 6, [7.0] * 4 + [15.0] * 6])
def test_reference_visits_that_scatter_over_the_whole_range_divide_nothing(reference: list[float]) -> None:
    # From 3 to 7 there are two sums below, 3 and 5, and three classes cannot be made of them.
    with pytest.raises(ValueError, match="differ too much"):
        reference_bands(reference, Scoring.QUARTILES, 3)


def test_the_range_of_an_index() -> None:
    assert range_of(Scoring.QUARTILES, 5) == (5, 25)
    assert range_of(Scoring.CONTINUOUS, 5) == (0, 100)
