import inspect

import pytest

from service.science.derived.site_pressure import is_reduced_to_sea_level
from service.science.flags import Flag
from service.science.qa.checks import pressure_kind
from tests.science.kits import read
from tests.science.qa.limits import limits_for
from tests.science.qa.visits import visit_with

LIMITS = limits_for("pressure-kind", "barometric_pressure")
LIMIT_UNITS = {"elevation_above": "m", "near_sea_level": "hpa", "above_place": "hpa"}


def finding(pressure, elevation_m, **about):
    reading = read("barometric_pressure", pressure, **about)
    return pressure_kind.run(reading, visit_with(reading, elevation_m=elevation_m), LIMITS)


@pytest.mark.parametrize(
    ("pressure_hpa", "elevation_m", "flag"),
    [
        # U.S. Standard Atmosphere 1976: 954.6 hPa at 500 m, 898.7 at 1000, 966.1 at 400, 971.8 at 350
        (1018.0, 1000.0, 3),
        (902.96, 1000.0, 1),
        (1013.25, 351.0, 3),
        (1013.25, 350.0, 1),  # low down it hides in the weather
        (1013.25, 0.0, 1),
        (1018.0, 100.0, 1),
        # within 40 hPa of 1013.25
        (973.5, 1000.0, 3),
        (973.0, 1000.0, 1),
        (1053.0, 1000.0, 3),
        (1053.5, 1000.0, 1),
        # 0.04 atm above the place: a fine day at 400 m is no pressure of sea level
        (991.0, 400.0, 1),
        (1006.0, 400.0, 1),
        (1007.5, 400.0, 3),
    ],
)
def test_sea_level_or_the_place(pressure_hpa, elevation_m, flag):
    assert finding(pressure_hpa, elevation_m).flag == flag


def test_it_tells_the_pressure_of_the_place():
    # 1018 hPa at sea level is 902.96 at 1000 m (U.S. Standard Atmosphere 1976)
    found = finding(1018.0, 1000.0)
    assert found.evidence["station_pressure_hpa"] == pytest.approx(902.96, abs=0.01)
    assert found.likely_slip is not None
    assert found.likely_slip.would_be == found.evidence["station_pressure_hpa"]
    assert found.message == (
        "Air pressure 1018 hPa fits sea level, but this site lies 1000 m high. Is it from a weather report? "
        "Then the pressure here is about 903 hPa."
    )
    assert "leave it out" in found.advice


def test_it_tells_it_in_the_unit_of_the_class():
    # 1 atm at 1000 m is 0.8870 atm
    found = finding(1.0, 1000.0, unit="atm")
    assert "Air pressure 1 atm" in found.message
    assert "about 0.887 atm" in found.message


@pytest.mark.parametrize(
    ("elevation_m", "mark"), [(None, None), (1000.0, "<"), (1000.0, ">"), (12_000.0, None)]
)
def test_without_an_elevation_or_a_plain_number_it_is_not_evaluated(elevation_m, mark):
    found = finding(1018.0, elevation_m, censored=mark)
    assert found.flag is Flag.NOT_EVALUATED
    assert found.message.startswith("Not checked")


def test_what_the_formulas_refuse_is_what_the_check_calls_suspect():
    defaults = inspect.signature(is_reduced_to_sea_level).parameters
    assert {name: defaults[f"{name}_{unit}"].default for name, unit in LIMIT_UNITS.items()} == LIMITS
