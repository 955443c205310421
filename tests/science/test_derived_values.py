"""All derived values of a visit together."""

from dataclasses import replace

import pytest

from service.science.bottles import Bottles
from service.science.derived_values import derive
from service.science.gauging import Bottom, FloatGauging, Transect
from tests.science.kits import read
from tests.science.qa.visits import visit_with

EVERYTHING = (
    read("dissolved_oxygen", 8.0),
    read("water_temperature", 20.0),
    read("ph", 7.5),
    read("ph", 7.7),
    read("conductivity", 300.0),
    read("calcium", 40.0),
    read("magnesium", 12.0),
    read("ammonia", 0.5),
    read("nitrate", 1.0),
    read("nitrite", 0.1),
    read("phosphate", 0.1),
    read("transparency", 20.0),
)


def names(*readings, **more):
    return [value.parameter for value in derive(replace(visit_with(*readings), **more))]


def test_everything_that_can_follow_from_a_visit():
    floats = FloatGauging(6.0, (12.0, 15.0, 18.0), Bottom.ROCKY, (Transect(3.0, (0.2, 0.4, 0.2)),))
    assert names(*EVERYTHING, gauging=floats, bottles=Bottles(8.9, 6.1, 120, 20)) == [
        "dissolved_oxygen_saturation",
        "oxygen_demand_5day",
        "ph_mean",
        "specific_conductance",
        "hardness",
        "unionised_ammonia",
        "ammonia_chronic_limit",
        "nitrate_as_no3",
        "nitrite_as_no2",
        "phosphate_as_po4",
        "turbidity_estimate",
        "discharge",
    ]
    assert names(read("turbidity", 40.0)) == ["transparency_estimate"]


def test_nothing_follows_from_nothing():
    assert names() == []


@pytest.mark.parametrize(
    ("readings", "left"),
    [
        # outside one formula (pH 5 is below that of un-ionised ammonia) the others keep their values
        ([read("ammonia", 0.5), read("ph", 5.0), read("water_temperature", 20.0)], []),
        ([read("transparency", 3.0), read("nitrate", 1.0)], ["nitrate_as_no3"]),
    ],
)
def test_where_a_formula_ends_there_is_no_value_and_no_fault(readings, left):
    assert names(*readings) == left


def test_a_reading_below_freezing_by_its_thermometer_gives_only_what_needs_no_temperature():
    others = [reading for reading in EVERYTHING if reading.parameter != "water_temperature"]
    assert names(*others, read("water_temperature", -0.5)) == names(*others)
    assert "hardness" in names(*others)
