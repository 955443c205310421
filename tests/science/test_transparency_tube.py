from math import inf

import pytest

from service.science.transparency_tube import LABEL, depth_estimate, turbidity_estimate
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


@pytest.mark.parametrize(
    ("length_cm", "below_ntu"), [(60.0, 8.3300843), (100.0, 3.850618), (120.0, 2.9236226)]
)
def test_a_full_tube_of_any_length_says_less_than(length_cm, below_ntu):
    # Myre & Shaw 2006: 244.13 and -0.662, computed separately
    estimate = turbidity_estimate(length_cm, ABOVE)
    assert (estimate.value, estimate.censored) == (pytest.approx(below_ntu, abs=1e-3), BELOW)


def test_a_tube_longer_than_any_is_not_converted():
    with pytest.raises(ValueError):
        turbidity_estimate(121.0, ABOVE)


def test_the_doubt_of_the_reading_widens_the_estimate():
    # 29 and 31 cm are 24.98 and 22.59 NTU (Myre & Shaw 2006, computed separately); the deeper is the clearer
    estimate = turbidity_estimate(30.0, low_cm=29.0, high_cm=31.0)
    assert (estimate.low, estimate.high) == pytest.approx((22.59 / 2, 24.98 * 2), abs=0.01)


@pytest.mark.parametrize(
    ("censored", "flipped", "is_open"), [(BELOW, ABOVE, True), (ABOVE, BELOW, False), (None, None, False)]
)
def test_less_turbid_than_is_deeper_than(censored, flipped, is_open):
    estimate = depth_estimate(10.0, censored)
    assert (estimate.censored, estimate.high == inf) == (flipped, is_open)
    assert (estimate.low == 0.0) is (censored is ABOVE)


def test_the_doubt_of_the_meter_widens_the_depth():
    # half of 8 and twice 12 NTU are 97.52 and 29.78 cm (Myre & Shaw 2006, computed separately)
    estimate = depth_estimate(10.0, low_ntu=8.0, high_ntu=12.0)
    assert (estimate.low, estimate.high) == pytest.approx((29.78, 97.52), abs=0.01)


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
