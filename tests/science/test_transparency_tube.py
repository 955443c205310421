from math import inf

import pytest

from service.science.transparency_tube import (
    LABEL,
    TubeDepth,
    cut_at_shortest,
    depth_estimate,
    turbidity_estimate,
)
from service.science.types import Censoring
from tests.science.check_table import numbers

ABOVE, BELOW = Censoring.ABOVE, Censoring.BELOW


@pytest.mark.parametrize(("depth_cm", "expected", "tolerance"), numbers("turbidity_estimate"))
def test_turbidity_estimate(depth_cm, expected, tolerance):
    assert turbidity_estimate(depth_cm).value == pytest.approx(expected, abs=tolerance)


@pytest.mark.parametrize(("turbidity_ntu", "expected", "tolerance"), numbers("depth_estimate"))
def test_depth_estimate(turbidity_ntu, expected, tolerance):
    assert depth_estimate(turbidity_ntu).value == pytest.approx(expected, abs=tolerance)


@pytest.mark.parametrize("depth_cm", [0.0, -3.0, 6.0, 85.0, 100.0, 120.0])
def test_depths_beyond_240_and_5_ntu_are_not_converted(depth_cm):
    # Myre & Shaw 2006 made their tube for 5 to 240 NTU
    with pytest.raises(ValueError):
        turbidity_estimate(depth_cm)


@pytest.mark.parametrize("turbidity_ntu", [4.9, 241.0])
def test_turbidities_beyond_240_and_5_ntu_are_not_converted(turbidity_ntu):
    with pytest.raises(ValueError):
        depth_estimate(turbidity_ntu)


def test_an_estimate_says_that_it_is_one_and_spans_a_factor_of_two_either_way():
    estimate = turbidity_estimate(20.0)
    assert estimate.label == LABEL
    assert "estimate" in estimate.label
    assert (estimate.low, estimate.high) == pytest.approx((estimate.value / 2, estimate.value * 2))


def test_clear_water_at_the_far_bound_of_the_depth():
    estimate = depth_estimate(20.0)
    # half the turbidity is clearer water, so a greater depth: 10 NTU is 53.16 cm (Myre & Shaw 2006)
    assert estimate.high == pytest.approx(53.164, abs=1e-3)
    assert estimate.low < estimate.value < estimate.high


@pytest.mark.parametrize(
    ("censored", "flipped", "low", "high"),
    [(ABOVE, BELOW, 0.0, 2 * 8.330), (BELOW, ABOVE, 8.330 / 2, inf)],
)
def test_a_full_tube_gives_less_than_a_turbidity(censored, flipped, low, high):
    # > 60 cm is < 8.33 NTU by the relation
    estimate = turbidity_estimate(60.0, censored)
    assert estimate.censored is flipped
    assert (estimate.low, estimate.high) == pytest.approx((low, high), abs=1e-3)


def test_tubes_of_unlike_length_are_cut_at_the_shortest():
    # common practice: 80 and > 120 in a long tube are both > 60 beside a short one
    found = cut_at_shortest(
        [
            TubeDepth(45.0, 60.0),
            TubeDepth(60.0, 60.0, ABOVE),
            TubeDepth(80.0, 120.0),
            TubeDepth(120.0, 120.0, ABOVE),
        ]
    )
    assert found == (
        TubeDepth(45.0, 60.0),
        TubeDepth(60.0, 60.0, ABOVE),
        TubeDepth(60.0, 60.0, ABOVE),
        TubeDepth(60.0, 60.0, ABOVE),
    )


def test_a_full_tube_that_nobody_marked_counts_as_full():
    assert cut_at_shortest([TubeDepth(60.0, 60.0)]) == (TubeDepth(60.0, 60.0, ABOVE),)


def test_murky_readings_keep_their_mark():
    assert cut_at_shortest([TubeDepth(5.0, 120.0, BELOW), TubeDepth(30.0, 60.0)]) == (
        TubeDepth(5.0, 60.0, BELOW),
        TubeDepth(30.0, 60.0),
    )


def test_less_than_a_depth_that_the_short_tube_does_not_reach_is_refused():
    with pytest.raises(ValueError):
        cut_at_shortest([TubeDepth(90.0, 120.0, BELOW), TubeDepth(30.0, 60.0)])


def test_no_readings_cut_to_none():
    assert cut_at_shortest([]) == ()
