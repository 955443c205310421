from math import inf, isinf

import pytest

from service.science.conductance import specific_conductance
from tests.science.check_table import numbers


@pytest.mark.parametrize(
    ("conductivity", "temperature_c", "share_per_degree", "expected", "tolerance"),
    numbers("specific_conductance"),
)
def test_specific_conductance(conductivity, temperature_c, share_per_degree, expected, tolerance):
    found = specific_conductance(conductivity, temperature_c, share_per_degree)
    assert found == pytest.approx(expected, abs=tolerance)


def test_the_share_of_the_standard_goes_without_saying():
    assert specific_conductance(300.0, 15.0) == specific_conductance(300.0, 15.0, 0.0191)


@pytest.mark.parametrize(("conductivity", "temperature_c"), [(-1, 15), (300, -0.1), (300, 40.1)])
def test_what_no_stream_has_gives_no_value(conductivity, temperature_c):
    with pytest.raises(ValueError):
        specific_conductance(conductivity, temperature_c)


def test_an_open_end_stays_open():
    assert isinf(specific_conductance(inf, 15.0))
