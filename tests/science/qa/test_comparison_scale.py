from math import log10

import pytest

from service.science.qa.comparison_scale import Scale, level_position
from service.science.qa.robust_reference import Point
from service.science.types import Censoring

MARKS = (0.25, 0.5, 1, 2, 4, 6, 8, 10)


@pytest.mark.parametrize(
    ("value", "place"), [(0.25, 0), (0.5, 1), (4, 4), (10, 7), (3, 3.5), (0.1, 0), (40, 7)]
)
def test_place_among_the_marks(value, place):
    # counted along the list
    assert level_position(value, MARKS) == place


@pytest.mark.parametrize("scale", [Scale("level", 0.6, MARKS), Scale("log10", 0.1), Scale("value", 0.3)])
@pytest.mark.parametrize("value", [0.25, 1.0, 3.0, 10.0])
def test_there_and_back(scale, value):
    (point,) = scale.points([(value, None)])
    assert scale.back(point.value) == pytest.approx(value)


def test_the_side_of_a_limit_stays():
    assert Scale("value", 1.0).points([(60.0, Censoring.ABOVE)]) == [Point(60.0, Censoring.ABOVE)]


def test_a_zero_on_a_scale_of_logarithms_is_less_than_the_smallest_number():
    points = Scale("log10", 0.1).points([(10.0, None), (0.0, None), (0.5, None)])
    assert points == [Point(1.0), Point(log10(0.5), Censoring.BELOW), Point(log10(0.5))]


def test_zeros_alone_have_no_logarithm():
    with pytest.raises(ValueError, match="no value above 0"):
        Scale("log10", 0.1).points([(0.0, None)])
