from math import inf, isinf, nan

import numpy as np
import pytest

from service.science import oxygen_saturation as oxygen
from service.science.barometric_pressure import pressure_from_elevation
from tests.science.check_table import numbers


@pytest.mark.parametrize(
    ("temperature_c", "pressure_atm", "conductance", "expected", "tolerance"), numbers("oxygen_at_saturation")
)
def test_oxygen_at_saturation(temperature_c, pressure_atm, conductance, expected, tolerance):
    found = oxygen.oxygen_at_saturation(temperature_c, pressure_atm, conductance)
    assert found == pytest.approx(expected, abs=tolerance)


@pytest.mark.parametrize(
    ("temperature_c", "elevation_m", "expected", "tolerance"), numbers("oxygen_at_saturation_by_elevation")
)
def test_oxygen_at_saturation_by_elevation(temperature_c, elevation_m, expected, tolerance):
    found = oxygen.oxygen_at_saturation(temperature_c, pressure_from_elevation(elevation_m))
    assert found == pytest.approx(expected, abs=tolerance)


@pytest.mark.parametrize(
    ("oxygen_mg_per_l", "temperature_c", "pressure_atm", "conductance", "expected", "tolerance"),
    numbers("percent_saturation"),
)
def test_percent_saturation(oxygen_mg_per_l, temperature_c, pressure_atm, conductance, expected, tolerance):
    found = oxygen.percent_saturation(oxygen_mg_per_l, temperature_c, pressure_atm, conductance)
    assert found == pytest.approx(expected, abs=tolerance)


@pytest.mark.parametrize(
    ("temperature_c", "conductance", "expected", "tolerance"), numbers("salinity_factor")
)
def test_salinity_factor(temperature_c, conductance, expected, tolerance):
    assert oxygen.salinity_factor(temperature_c, conductance) == pytest.approx(expected, abs=tolerance)


def test_salinity_from_conductance_follows_the_usgs_polynomial():
    # USGS Technical Memorandum 2011.03: 5.572e-4 x 1000 + 2.02e-9 x 1000^2, by hand
    assert oxygen.salinity_from_conductance(1000.0) == pytest.approx(0.55922, abs=1e-9)


@pytest.mark.parametrize(("temperature_c", "expected", "tolerance"), numbers("vapour_pressure"))
def test_vapour_pressure(temperature_c, expected, tolerance):
    assert oxygen.vapour_pressure(temperature_c) == pytest.approx(expected, abs=tolerance)


@pytest.mark.parametrize(("temperature_c", "expected", "tolerance"), numbers("second_virial_term"))
def test_second_virial_term(temperature_c, expected, tolerance):
    assert oxygen.second_virial_term(temperature_c) == pytest.approx(expected, abs=tolerance)


@pytest.mark.parametrize(
    ("temperature_c", "pressure_atm", "expected", "tolerance"), numbers("pressure_factor")
)
def test_pressure_factor(temperature_c, pressure_atm, expected, tolerance):
    assert oxygen.pressure_factor(temperature_c, pressure_atm) == pytest.approx(expected, abs=tolerance)


@pytest.mark.parametrize(
    ("temperature_c", "pressure_atm", "conductance"),
    [
        (-0.1, 1.0, 0.0),
        (40.1, 1.0, 0.0),
        (nan, 1.0, 0.0),
        (20.0, 0.49, 0.0),
        (20.0, 1.11, 0.0),
        (20.0, 1013.25, 0.0),
        (20.0, 1.0, -1.0),
        (20.0, 1.0, 60_000.0),
    ],
)
def test_outside_the_valid_range_there_is_no_value(temperature_c, pressure_atm, conductance):
    # range of the equations as published: 0 to 40 degC, 0.5 to 1.1 atm, salinity 0 to 40
    with pytest.raises(ValueError):
        oxygen.oxygen_at_saturation(temperature_c, pressure_atm, conductance)


def test_percent_of_negative_oxygen_is_refused():
    with pytest.raises(ValueError):
        oxygen.percent_saturation(-0.1, 20.0, 1.0)


def test_percent_of_an_open_end_stays_open():
    assert isinf(oxygen.percent_saturation(inf, 20.0, 1.0))


def test_many_waters_at_once_are_the_same_as_one_by_one():
    waters = [(8.0, 0.0), (9.1, 12.5), (4.4, 21.0), (7.7, 40.0)]
    oxygens, temperatures = np.array(waters).T
    one_by_one = [oxygen.percent_saturation(*water, 0.95, 320.0) for water in waters]
    assert oxygen.percent_saturation(oxygens, temperatures, 0.95, 320.0) == pytest.approx(
        one_by_one, rel=1e-12
    )
    pressures, conductances = np.array([0.9, 0.95, 1.0, 1.05]), np.array([0.0, 50.0, 320.0, 5000.0])
    each = [
        oxygen.oxygen_at_saturation(*water)
        for water in zip(temperatures.tolist(), pressures.tolist(), conductances.tolist(), strict=True)
    ]
    assert oxygen.oxygen_at_saturation(temperatures, pressures, conductances) == pytest.approx(
        each, rel=1e-12
    )


@pytest.mark.parametrize("odd", [-0.1, 40.1, nan])
def test_one_water_out_of_range_refuses_them_all(odd):
    with pytest.raises(ValueError, match=f"water temperature {odd:g} degC is outside"):
        oxygen.oxygen_at_saturation(np.array([10.0, odd, 20.0, 50.0]), 1.0)
