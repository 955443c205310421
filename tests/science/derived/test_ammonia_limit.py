import pytest

from service.science.ammonia import chronic_criterion
from service.science.derived.ammonia_limit import OF_A_MONTH, ammonia_chronic_limit
from service.science.types import Censoring
from tests.science.kits import PH_HALF, PH_WHOLE, THERMOMETER, read
from tests.science.qa.visits import visit_with

AMMONIA = read("ammonia", 0.5)


def derived(*readings):
    return ammonia_chronic_limit(visit_with(*readings))


def test_the_printed_limit():
    # US EPA 2013 prints 1.9 mg/L as N at pH 7 and 20 degC
    found = derived(AMMONIA, read("ph", 7.0), read("water_temperature", 20.0))
    assert found.value == pytest.approx(1.9, abs=0.05)
    assert (found.unit, found.assumed) == ("mg/L as N", (OF_A_MONTH,))


def test_the_strictest_limit_belongs_to_the_upper_ends():
    found = derived(AMMONIA, read("ph", 7.0, kit=PH_WHOLE), read("water_temperature", 20.0, kit=THERMOMETER))
    assert found.low == chronic_criterion(7.5, 20.25)
    assert found.high == chronic_criterion(6.5, 19.75)


@pytest.mark.parametrize(("ph", "temperature_c"), [(9.0, 20.0), (6.5, 20.0), (7.0, 0.0), (7.0, 30.0)])
def test_at_an_end_of_the_formula_the_interval_stops(ph, temperature_c):
    # a quarter of a unit to either side, and a quarter of a degree beyond freezing and 30 degC
    found = derived(
        AMMONIA, read("ph", ph, kit=PH_HALF), read("water_temperature", temperature_c, kit=THERMOMETER)
    )
    assert found.low <= found.value <= found.high
    lowest_ph, coldest, warmest = (
        max(ph - 0.25, 6.5),
        max(temperature_c - 0.25, 0),
        min(temperature_c + 0.25, 30),
    )
    assert found.high == chronic_criterion(lowest_ph, coldest)
    assert found.low == chronic_criterion(min(ph + 0.25, 9.0), warmest)


def test_ph_above_its_card_is_a_limit_below():
    found = derived(AMMONIA, read("ph", 8.5, censored=">"), read("water_temperature", 20.0))
    assert found.censored is Censoring.BELOW


def test_without_ammonia_or_without_ph_or_temperature_there_is_nothing():
    ph, water = read("ph", 7.0), read("water_temperature", 20.0)
    assert derived(ph, water) is derived(AMMONIA, ph) is derived(AMMONIA, water) is None


@pytest.mark.parametrize("ph", [6.4, 9.1])
def test_outside_the_formula_there_is_no_value(ph):
    with pytest.raises(ValueError):
        derived(AMMONIA, read("ph", ph), read("water_temperature", 20.0))
