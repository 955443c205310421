from math import inf

import pytest

from service.science.ammonia import unionised_fraction
from service.science.derived.unionised_ammonia import unionised_ammonia
from service.science.types import Censoring, Kit
from tests.science.kits import PH_WHOLE, THERMOMETER, read
from tests.science.qa.visits import visit_with

TABLETS = Kit(
    "ammonia-tablets", "ammonia tablets", "comparator", "ammonia", "mg/L as N", 0.25, 4,
    marks=(0.25, 0.5, 1, 2, 4), reads_zero=False,
)  # fmt: skip
WATER = read("water_temperature", 18.0)


def derived(*readings):
    return unionised_ammonia(visit_with(*readings))


def test_a_worked_example():
    # 0.50 mg/L as N at pH 8.2 and 18 degC: 0.0256777 mg/L as N (Emerson et al. 1975, computed separately)
    found = derived(read("ammonia", 0.5), read("ph", 8.2), WATER)
    assert found.value == found.low == found.high == pytest.approx(0.0256777, abs=1e-7)
    assert (found.unit, found.method, found.assumed) == ("mg/L as N", "emerson-1975", ("fresh water",))


def test_all_lower_ends_belong_together_and_all_upper_ends():
    # the kits leave open 0.375 to 0.75 mg/L, pH 7.5 to 8.5, 17.75 to 18.25 degC (half a step)
    water = read("water_temperature", 18.0, kit=THERMOMETER)
    found = derived(read("ammonia", 0.5, kit=TABLETS), read("ph", 8.0, kit=PH_WHOLE), water)
    assert found.low == pytest.approx(0.375 * unionised_fraction(7.5, 17.75), rel=1e-9)
    assert found.high == pytest.approx(0.75 * unionised_fraction(8.5, 18.25), rel=1e-9)


def test_none_seen_is_less_than():
    found = derived(read("ammonia", 0.0, kit=TABLETS), read("ph", 8.2), WATER)
    # 0.25 mg/L x 0.0513554
    assert (found.value, found.censored) == (pytest.approx(0.0128389, abs=1e-7), Censoring.BELOW)
    assert (found.low, found.high) == (0.0, found.value)


def test_above_the_scale_of_the_card_is_more_than():
    found = derived(read("ammonia", 4.0, censored=">"), read("ph", 8.2), WATER)
    assert (found.censored, found.high) == (Censoring.ABOVE, inf)
    assert found.low == found.value


def test_ph_above_its_card_leaves_up_to_all_of_it():
    found = derived(read("ammonia", 0.5), read("ph", 8.5, censored=">"), WATER)
    assert (found.censored, found.low, found.high) == (Censoring.ABOVE, found.value, 0.5)


def test_one_limit_up_and_one_down_tell_nothing():
    with pytest.raises(ValueError):
        derived(read("ammonia", 0.25, censored="<"), read("ph", 8.5, censored=">"), WATER)


def test_an_interval_of_ph_that_leaves_the_formula_ends_at_nothing_and_at_all():
    wide = Kit("wide", "card", "comparator", "ph", "std units", 2, 14, marks=(2, 6, 10, 14))
    assert derived(read("ammonia", 0.5), read("ph", 6.0, kit=wide), WATER).low == 0.0
    # on the card 0.5 mg/L may be 0.75 (half the way to the next mark)
    assert derived(read("ammonia", 0.5, kit=TABLETS), read("ph", 10.0, kit=wide), WATER).high == 0.75


@pytest.mark.parametrize("temperature_c", [0.0, 30.0])
def test_at_freezing_and_at_30_degrees_the_interval_stops(temperature_c):
    found = derived(
        read("ammonia", 0.5), read("ph", 8.0), read("water_temperature", temperature_c, kit=THERMOMETER)
    )
    assert found.low <= found.value <= found.high


@pytest.mark.parametrize(
    "readings",
    [
        (read("ph", 8.2), WATER),
        (read("ammonia", 0.5), WATER),
        (read("ammonia", 0.5), read("ph", 8.2)),
    ],
    ids=["ammonia", "ph", "temperature"],
)
def test_without_one_of_them_there_is_nothing(readings):
    assert derived(*readings) is None


@pytest.mark.parametrize(("ph", "temperature_c"), [(5.9, 18.0), (10.1, 18.0), (8.2, -0.5), (8.2, 30.5)])
def test_outside_the_formula_there_is_no_value(ph, temperature_c):
    with pytest.raises(ValueError):
        derived(read("ammonia", 0.5), read("ph", ph), read("water_temperature", temperature_c))
