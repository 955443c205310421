from dataclasses import replace

import pytest

from service.science.derived.oxygen_saturation import oxygen_saturation_of, percent_of_saturation
from service.science.derived.value import FRESH_WATER
from tests.science.kits import OXYGEN_TABLETS, THERMOMETER_WITHIN_1, read
from tests.science.qa.visits import visit_with

OXYGEN, WATER = read("dissolved_oxygen", 8.0), read("water_temperature", 20.0)


def percent(pressure_hpa, elevation_m, mark=None):
    pressure = [] if pressure_hpa is None else [read("barometric_pressure", pressure_hpa, censored=mark)]
    found = oxygen_saturation_of(OXYGEN, visit_with(OXYGEN, WATER, *pressure, elevation_m=elevation_m))
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("pressure_hpa", "elevation_m", "expected", "assumed"),
    [
        # 8 mg/L at 20 degC; saturation 8.079980 mg/L at 902.9589 hPa, 8.041 at 1000 m, 9.092 at 1 atm
        # (Benson & Krause 1984, U.S. Standard Atmosphere 1976, worked out apart from this code)
        (902.9589, 1000.0, 99.01, "fresh water"),
        (902.9589, None, 99.01, "fresh water"),
        (None, 1000.0, 99.49, "pressure from elevation"),
        (None, None, 87.99, "pressure of sea level"),
        # a weather report of 1018 hPa at 1000 m used to give 87.57 %
        (1018.0, 1000.0, 99.49, "pressure from elevation, as the one read fits sea level"),
        # where it is the pressure of the place, saturation is 9.136026 mg/L
        (1018.0, 0.0, 87.57, "fresh water"),
    ],
)
def test_the_pressure_behind_the_percentage(pressure_hpa, elevation_m, expected, assumed):
    found = percent(pressure_hpa, elevation_m)
    assert found.value == pytest.approx(expected, abs=0.02)
    assert found.assumed[0].startswith(assumed)


def test_a_limit_of_pressure_is_not_used():
    assert percent(902.9589, 1000.0, "<").value == pytest.approx(99.49, abs=0.02)


def test_the_first_oxygen_of_a_visit_counts():
    found = percent_of_saturation(visit_with(OXYGEN, WATER, elevation_m=1000.0))
    assert (found.parameter, found.unit) == ("dissolved_oxygen_saturation", "%")
    assert percent_of_saturation(visit_with(WATER)) is None


def test_salts_are_known_from_a_plain_meter_too():
    # 1000 uS/cm at 25 degC holds 0.99670613 of the oxygen at 20 degC (Benson & Krause 1984, computed
    # separately); the plain meter shows 904.5 uS/cm of it at 20 degC (0.0191 a degree, by hand)
    for salts in (read("specific_conductance", 1000.0), read("conductivity", 904.5)):
        found = oxygen_saturation_of(OXYGEN, visit_with(OXYGEN, WATER, salts, elevation_m=0.0))
        assert found.value == pytest.approx(87.9853 / 0.99670613, abs=1e-3)
        assert FRESH_WATER not in found.assumed


@pytest.mark.parametrize(
    "salts", [read("conductivity", 900.0, censored=">"), read("specific_conductance", 900.0, censored=">")]
)
def test_a_limit_of_conductance_is_not_used(salts):
    found = oxygen_saturation_of(OXYGEN, visit_with(OXYGEN, WATER, salts, elevation_m=0.0))
    assert found.value == pytest.approx(87.9853, abs=1e-3)
    assert FRESH_WATER in found.assumed


def test_oxygen_is_judged_at_the_temperature_read_with_it():
    # a sun-warmed edge and the shaded riffle of one visit: each oxygen belongs to its own temperature
    warmer = replace(WATER, value=25.0, low=25.0, high=25.0, replicate=2, position=2)
    second = replace(OXYGEN, replicate=2, position=3)
    visit = visit_with(OXYGEN, WATER, warmer, second)
    found = [oxygen_saturation_of(oxygen, visit) for oxygen in (OXYGEN, second)]
    # 8 mg/L of 9.092426 and of 8.263457 mg/L (Benson & Krause 1984 at 1 atm, published table)
    assert [value.value for value in found] == [
        pytest.approx(87.985, abs=1e-3),
        pytest.approx(96.812, abs=1e-3),
    ]


def test_a_lone_temperature_serves_every_replicate():
    second = replace(OXYGEN, replicate=2, position=3)
    assert oxygen_saturation_of(second, visit_with(OXYGEN, WATER, second)).value == pytest.approx(
        87.985, abs=1e-3
    )


def of_kits(temperature_c):
    return oxygen_saturation_of(
        read("dissolved_oxygen", 8.0, kit=OXYGEN_TABLETS),
        visit_with(read("water_temperature", temperature_c, kit=THERMOMETER_WITHIN_1)),
    )


def test_least_oxygen_in_the_coldest_water_to_most_in_the_warmest():
    # 6 to 10 mg/L and 19 to 21 degC at 1 atm: saturation 9.276 and 8.915 mg/L (EN 25814, printed table of
    # Benson & Krause 1984: 9.28 and 8.91)
    found = of_kits(20.0)
    assert (found.low, found.high) == pytest.approx((100 * 6 / 9.276, 100 * 10 / 8.915), abs=0.02)


@pytest.mark.parametrize(
    ("temperature_c", "low", "high"),
    [
        # 14.620834 at 0 and 14.216 at 1 degC, 6.515 at 39 and 6.412722 mg/L at 40 degC (the same, computed)
        (0.0, 100 * 6 / 14.620834, 100 * 10 / 14.216),
        (40.0, 100 * 6 / 6.515, 100 * 10 / 6.412722),
    ],
)
def test_at_freezing_and_at_40_degrees_the_interval_stops(temperature_c, low, high):
    found = of_kits(temperature_c)
    assert (found.low, found.high) == pytest.approx((low, high), abs=0.03)
