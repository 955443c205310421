from math import inf, isinf

import pytest

from service.science.units import convert, convert_difference
from tests.science.check_table import rows

CONVERSIONS = [
    (float(r["value"]), r["from_unit"], r["to_unit"], float(r["expected"]), float(r["tolerance"]))
    for r in rows("unit_conversions")
]


@pytest.mark.parametrize(("value", "from_unit", "to_unit", "expected", "tolerance"), CONVERSIONS)
def test_convert(value, from_unit, to_unit, expected, tolerance):
    assert convert(value, from_unit, to_unit) == pytest.approx(expected, abs=tolerance)


@pytest.mark.parametrize(("value", "from_unit", "to_unit", "expected", "tolerance"), CONVERSIONS)
def test_convert_there_and_back(value, from_unit, to_unit, expected, tolerance):
    there = convert(value, from_unit, to_unit)
    assert convert(there, to_unit, from_unit) == pytest.approx(value, rel=1e-11, abs=1e-9)


@pytest.mark.parametrize(("value", "expected"), [(0.29, 29.0), (0.57, 57.0), (1.13, 113.0)])
def test_metres_written_to_the_centimetre_are_whole_centimetres(value, expected):
    # plain arithmetic; 0.29 x 100 in binary fractions is 28.999999999999996
    assert convert(value, "m", "cm") == expected


@pytest.mark.parametrize(
    ("from_unit", "to_unit"),
    [
        ("NTU", "FNU"),
        ("mg/L as NO3", "mg/L as NO2"),
        ("mg/L as N", "mg/L as P"),
        ("dKH", "dGH"),
        ("mg/L", "%"),
        ("degC", "cm"),
    ],
)
def test_units_of_unlike_things_do_not_convert(from_unit, to_unit):
    with pytest.raises(ValueError, match=f"{from_unit} cannot be converted to {to_unit}"):
        convert(1.0, from_unit, to_unit)


def test_equal_units_give_the_value_back():
    assert convert(7.123456789012345, "std units", "std units") == 7.123456789012345


def test_an_open_end_stays_open():
    assert isinf(convert(inf, "degF", "degC"))


@pytest.mark.parametrize(
    ("difference", "from_unit", "to_unit", "expected"),
    [
        # a difference has no zero: 9 degF apart is 5 degC apart (definition of the scales)
        (9.0, "degF", "degC", 5.0),
        (0.5, "degC", "degF", 0.9),
        (1.0, "in", "cm", 2.54),
        (1.0, "degC", "degC", 1.0),
    ],
)
def test_convert_difference(difference, from_unit, to_unit, expected):
    assert convert_difference(difference, from_unit, to_unit) == pytest.approx(expected, abs=1e-12)
