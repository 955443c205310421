import pytest

from service.science.conductance import specific_conductance as at_25
from service.science.derived.specific_conductance import (
    BY_THE_LINE,
    OFF_THE_LINE,
    conductance_beside,
    specific_conductance,
)
from service.science.types import Censoring, Kit
from tests.science.kits import THERMOMETER, read
from tests.science.qa.visits import visit_with

METER = Kit("plain-meter", "meter", "meter", "conductivity", "uS/cm", 0, 2000, step=10)
WATER = read("water_temperature", 15.0)


def derived(*readings):
    return specific_conductance(visit_with(*readings))


def test_a_worked_example():
    # 300 uS/cm at 15 degC is 370.828 at 25 degC (Standard Methods 2510 B, computed separately)
    found = derived(read("conductivity", 300.0), WATER)
    assert found.value == found.low == found.high == pytest.approx(370.82818, abs=1e-4)
    assert (found.parameter, found.unit, found.assumed) == ("specific_conductance", "uS/cm", (BY_THE_LINE,))


def test_the_least_belongs_to_the_warmest_water_and_the_most_to_the_coldest():
    found = derived(read("conductivity", 300.0, kit=METER), read("water_temperature", 15.0, kit=THERMOMETER))
    assert (found.low, found.high) == (at_25(295.0, 15.25), at_25(305.0, 14.75))


@pytest.mark.parametrize(
    ("conductivity", "water", "side"),
    [
        ({"censored": ">"}, {}, Censoring.ABOVE),
        ({"censored": "<"}, {}, Censoring.BELOW),
        ({}, {"censored": ">"}, Censoring.BELOW),  # warmer than that: it conducts less at 25 degC
        ({"censored": "<"}, {"censored": ">"}, Censoring.BELOW),
        ({}, {}, None),
    ],
)
def test_limits_stay_limits(conductivity, water, side):
    readings = read("conductivity", 300.0, **conductivity), read("water_temperature", 15.0, **water)
    assert derived(*readings).censored is side


def test_one_limit_up_and_one_down_tell_nothing():
    readings = read("conductivity", 300.0, censored=">"), read("water_temperature", 15.0, censored=">")
    with pytest.raises(ValueError):
        derived(*readings)
    assert conductance_beside(readings[0], visit_with(*readings)) is None


def test_it_is_not_worked_out_where_it_was_read():
    readings = read("conductivity", 300.0), WATER, read("specific_conductance", 380.0)
    assert derived(*readings) is None
    assert conductance_beside(readings[0], visit_with(*readings)) == 380.0


def test_without_the_temperature_there_is_nothing():
    conductivity = read("conductivity", 300.0)
    assert derived(conductivity) is derived(WATER) is None
    assert conductance_beside(conductivity, visit_with(conductivity)) is None


@pytest.mark.parametrize(
    ("temperature_c", "is_sure"), [(9.5, False), (10.0, True), (30.0, True), (30.1, False)]
)
def test_off_the_line_it_says_so(temperature_c, is_sure):
    found = derived(read("conductivity", 300.0), read("water_temperature", temperature_c))
    assert (OFF_THE_LINE not in found.assumed) is is_sure


def test_freezing_water_has_a_value_and_an_interval_that_stops_there():
    found = derived(read("conductivity", 300.0), read("water_temperature", 0.0, kit=THERMOMETER))
    assert found.high == found.value == at_25(300.0, 0.0)


def test_water_hotter_than_any_stream_has_none():
    with pytest.raises(ValueError):
        derived(read("conductivity", 300.0), read("water_temperature", 45.0))
