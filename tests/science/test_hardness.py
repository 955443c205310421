import pytest

from service.science.hardness import hardness
from tests.science.check_table import numbers


@pytest.mark.parametrize(("calcium", "magnesium", "expected", "tolerance"), numbers("hardness"))
def test_hardness(calcium, magnesium, expected, tolerance):
    assert hardness(calcium, magnesium) == pytest.approx(expected, abs=tolerance)


@pytest.mark.parametrize(("calcium", "magnesium"), [(-1, 12), (40, -1)])
def test_less_than_nothing_is_refused(calcium, magnesium):
    with pytest.raises(ValueError):
        hardness(calcium, magnesium)


def test_soft_water_may_have_none():
    assert hardness(0.0, 0.0) == 0.0
