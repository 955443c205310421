from math import inf, isinf, nan

import pytest

from service.science.ammonia import (
    acute_criterion,
    chronic_criterion,
    unionised_ammonia,
    unionised_fraction,
)
from tests.science.check_table import numbers


@pytest.mark.parametrize(("ph", "temperature_c", "expected", "tolerance"), numbers("unionised_fraction"))
def test_unionised_fraction(ph, temperature_c, expected, tolerance):
    assert unionised_fraction(ph, temperature_c) == pytest.approx(expected, abs=tolerance)


def test_unionised_ammonia_of_a_worked_example():
    # 0.50 mg/L as N at pH 8.2 and 18 degC: 0.0256777 mg/L as N by Emerson et al. 1975, computed separately
    assert unionised_ammonia(0.5, 8.2, 18.0) == pytest.approx(0.0256777, abs=1e-7)


def test_an_open_end_stays_open():
    assert isinf(unionised_ammonia(inf, 8.0, 20.0))


@pytest.mark.parametrize(
    ("ph", "temperature_c", "with_salmonids", "without", "chronic", "tolerance"), numbers("ammonia_criteria")
)
def test_criteria(ph, temperature_c, with_salmonids, without, chronic, tolerance):
    found = (
        acute_criterion(ph, temperature_c, salmonids=True),
        acute_criterion(ph, temperature_c, salmonids=False),
        chronic_criterion(ph, temperature_c),
    )
    assert found == pytest.approx((with_salmonids, without, chronic), abs=tolerance)


@pytest.mark.parametrize(
    ("ph", "temperature_c"), [(5.9, 20), (10.1, 20), (8, -0.1), (8, 30.1), (nan, 20), (8, nan)]
)
def test_outside_6_to_10_and_0_to_30_degrees_there_is_no_share(ph, temperature_c):
    # range of Emerson et al. 1975 (from memory)
    with pytest.raises(ValueError):
        unionised_fraction(ph, temperature_c)


@pytest.mark.parametrize(("ph", "temperature_c"), [(6.49, 20), (9.01, 20), (8, -0.1), (8, 30.1)])
@pytest.mark.parametrize(
    "criterion",
    [chronic_criterion, lambda *at: acute_criterion(*at, salmonids=True)],
    ids=["chronic", "acute"],
)
def test_outside_the_published_tables_there_is_no_criterion(criterion, ph, temperature_c):
    # the tables of EPA 822-R-13-001 go from pH 6.5 to 9.0 and from 0 to 30 degC (from memory)
    with pytest.raises(ValueError):
        criterion(ph, temperature_c)


def test_less_than_no_ammonia_is_refused():
    with pytest.raises(ValueError):
        unionised_ammonia(-0.1, 8.0, 20.0)
