import pytest

from service.science.barometric_pressure import (
    atmospheres_from_hectopascals,
    pressure_from_elevation,
    station_pressure_from_sea_level,
)
from tests.science.check_table import numbers


@pytest.mark.parametrize(("elevation_m", "expected", "tolerance"), numbers("pressure_from_elevation"))
def test_pressure_from_elevation(elevation_m, expected, tolerance):
    assert pressure_from_elevation(elevation_m) == pytest.approx(expected, abs=tolerance)


@pytest.mark.parametrize(
    ("sea_level_pressure_hpa", "elevation_m", "expected", "tolerance"), numbers("station_pressure")
)
def test_station_pressure_from_sea_level(sea_level_pressure_hpa, elevation_m, expected, tolerance):
    found = station_pressure_from_sea_level(sea_level_pressure_hpa, elevation_m)
    assert found == pytest.approx(expected, abs=tolerance)


@pytest.mark.parametrize("elevation_m", [-501.0, 11_001.0, float("nan")])
def test_elevation_outside_the_lower_atmosphere_is_refused(elevation_m):
    # the straight fall of temperature ends at 11 km: U.S. Standard Atmosphere 1976
    with pytest.raises(ValueError):
        pressure_from_elevation(elevation_m)


@pytest.mark.parametrize("sea_level_pressure_hpa", [29.92, 101.3, 760.0])
def test_sea_level_pressure_in_another_unit_is_refused(sea_level_pressure_hpa):
    # the same weather in inHg, kPa and mmHg: no weather has ever had so few hPa
    with pytest.raises(ValueError):
        station_pressure_from_sea_level(sea_level_pressure_hpa, 100.0)


def test_one_atmosphere_in_hectopascals():
    # definition of the standard atmosphere
    assert atmospheres_from_hectopascals(1013.25) == 1.0
