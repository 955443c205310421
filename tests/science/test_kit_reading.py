from math import inf

import pytest

from service.science.kit_reading import highest_readable, lowest_readable
from service.science.types import Censoring
from tests.science.kits import (
    ALKALINITY_DROPS,
    NITRATE_CARD,
    NITRATE_TABLETS,
    OXYGEN_DROPS,
    OXYGEN_METER,
    OXYGEN_TABLETS,
    OXYGEN_TITRATOR,
    PH_HALF,
    PH_WHOLE,
    PLATE_1ML,
    THERMOMETER,
    THERMOMETER_F,
    THERMOMETER_WITHIN_1,
    TRAY,
    TUBE_60,
    TUBE_120,
    TURBIDITY_METER,
    read,
)


@pytest.mark.parametrize(
    ("parameter", "kit", "value", "low", "high"),
    [
        # half a step of the scale, or the stated accuracy where that is wider: common practice
        ("water_temperature", THERMOMETER, 11.5, 11.25, 11.75),
        ("water_temperature", THERMOMETER_WITHIN_1, 11.5, 10.5, 12.5),
        ("water_temperature", THERMOMETER_WITHIN_1, 0.0, -1.0, 1.0),
        ("dissolved_oxygen", OXYGEN_METER, 9.3, 9.0, 9.6),
        ("dissolved_oxygen", OXYGEN_TITRATOR, 0.2, 0.0, 0.6),
        # half-way to the neighbouring marks
        ("ph", PH_HALF, 7.5, 7.25, 7.75),
        ("dissolved_oxygen", OXYGEN_TABLETS, 4.0, 2.0, 6.0),
        ("nitrate", NITRATE_CARD, 2.0, 1.5, 3.0),
        # an end mark mirrors its one gap
        ("dissolved_oxygen", OXYGEN_TABLETS, 8.0, 6.0, 10.0),
        ("ph", PH_WHOLE, 4.0, 3.5, 4.5),
        ("ph", PH_WHOLE, 10.0, 9.5, 10.5),
        ("nitrate", NITRATE_CARD, 0.25, 0.125, 0.375),
        ("nitrate", NITRATE_CARD, 10.0, 9.0, 11.0),
        # off the scale: the marks around it, beyond the card the doubt of the end mark
        ("dissolved_oxygen", OXYGEN_TABLETS, 7.0, 4.0, 9.0),  # the card is good to 2 mg/L
        ("dissolved_oxygen", OXYGEN_TABLETS, 20.0, 18.0, 22.0),
        # a kit that reads zero keeps it, and nothing is less than nothing
        ("turbidity", TURBIDITY_METER, 0.0, 0.0, 0.05),
    ],
)
def test_a_plain_number_is_bounded_by_its_kit(parameter, kit, value, low, high):
    reading = read(parameter, value, kit=kit, unit=kit.unit)
    assert reading.censored is None
    assert reading.value == value
    assert (reading.low, reading.high) == pytest.approx((low, high))


@pytest.mark.parametrize(
    ("parameter", "kit", "value", "side", "limit", "low", "high"),
    [
        ("dissolved_oxygen", OXYGEN_TABLETS, 0, Censoring.BELOW, 4, 0, 4),
        ("dissolved_oxygen", OXYGEN_DROPS, 0, Censoring.BELOW, 0.5, 0, 0.5),
        ("nitrate", NITRATE_CARD, 0, Censoring.BELOW, 0.25, 0, 0.25),
        ("nitrate", NITRATE_CARD, 0.1, Censoring.BELOW, 0.25, 0, 0.25),
        ("e_coli", PLATE_1ML, 0, Censoring.BELOW, 100, 0, 100),
        ("transparency", TUBE_60, 60, Censoring.ABOVE, 60, 60, inf),
        ("transparency", TUBE_120, 120, Censoring.ABOVE, 120, 120, inf),
    ],
)
def test_what_a_kit_cannot_show_becomes_a_limit_and_the_written_number_stays(
    parameter, kit, value, side, limit, low, high
):
    reading = read(parameter, value, kit=kit, unit=kit.unit)
    assert (reading.censored, reading.value, reading.low, reading.high) == (side, limit, low, high)
    assert (reading.written_value, reading.written_censored, reading.kit_value) == (value, None, value)


@pytest.mark.parametrize(
    ("parameter", "kit", "value"),
    [
        ("transparency", TUBE_60, 59.0),  # one line below the rim was read
        ("transparency", TUBE_60, 75.0),  # beyond the tube: a mistake, not a full tube
        ("water_temperature", THERMOMETER, 0.0),  # ice water is a measurement
        ("water_temperature", THERMOMETER, -6.0),  # below the scale of a kit that reads zero
        ("dissolved_oxygen", OXYGEN_TABLETS, 8.0),  # the darkest colour matched is a match
        ("dissolved_oxygen", OXYGEN_METER, 20.0),
        ("dissolved_oxygen", OXYGEN_TABLETS, -1.0),  # never "less than 4": nobody saw a colour
        ("ph", PH_WHOLE, 0.0),  # a pH of 0 is not a small pH
    ],
)
def test_other_numbers_stay_as_written(parameter, kit, value):
    reading = read(parameter, value, kit=kit, unit=kit.unit)
    assert (reading.value, reading.censored) == (value, None)
    assert reading.low <= value <= reading.high


@pytest.mark.parametrize(
    ("parameter", "kit", "value", "mark", "low", "high"),
    [
        ("nitrate", NITRATE_CARD, 0.25, "<", 0, 0.25),
        ("transparency", TUBE_60, 60, ">", 60, inf),
        ("transparency", None, 60, ">", 60, inf),
        ("dissolved_oxygen", None, 4, "<", 0, 4),
        ("water_temperature", None, 2, "<", -inf, 2),  # water can be below 0 on a thermometer that is off
    ],
)
def test_a_written_limit_keeps_its_side_open(parameter, kit, value, mark, low, high):
    reading = read(parameter, value, kit=kit, censored=mark)
    assert (reading.value, reading.censored, reading.written_censored) == (value, mark, mark)
    assert (reading.low, reading.high) == (low, high)


@pytest.mark.parametrize(
    ("parameter", "kit", "value", "unit", "stored", "low", "high", "kit_value"),
    [
        # 50 degF is 10 degC; half a degree F is 0.2778 degrees C (exact by definition)
        ("water_temperature", THERMOMETER_F, 50.0, "degF", 10.0, 9.72222, 10.27778, 50.0),
        # 20 mg/L as NO3 is 4.5181 as N (atomic weights IUPAC 2021); marks 5 and 40 lie 7.5 and 10 away
        ("nitrate", NITRATE_TABLETS, 20.0, "mg/L as NO3", 4.51810, 2.82381, 6.77714, 20.0),
        # written in another unit than the kit shows
        ("transparency", TUBE_120, 10.0, "in", 25.4, 23.4, 27.4, 25.4),
    ],
)
def test_units_become_the_unit_of_storage(parameter, kit, value, unit, stored, low, high, kit_value):
    reading = read(parameter, value, kit=kit, unit=unit)
    assert (reading.value, reading.low, reading.high, reading.kit_value) == pytest.approx(
        (stored, low, high, kit_value), rel=2e-5
    )
    assert (reading.written_value, reading.written_unit) == (value, unit)


def test_the_limit_of_a_kit_is_stored_in_the_unit_of_storage():
    # 5 mg/L as NO3 is 1.12953 mg/L as N (0.225905 x 5, IUPAC 2021)
    reading = read("nitrate", 0, kit=NITRATE_TABLETS, unit="mg/L as NO3")
    assert (reading.censored, reading.low) == (Censoring.BELOW, 0)
    assert (reading.value, reading.high) == pytest.approx((1.12953, 1.12953), rel=1e-5)


def test_without_a_kit_nothing_is_known_of_the_doubt():
    reading = read("dissolved_oxygen", 0.0)
    assert (reading.value, reading.low, reading.high, reading.censored) == (0.0, 0.0, 0.0, None)
    assert reading.kit_value is None


def test_a_kit_for_something_else_lends_no_scale():
    reading = read("ph", 7.0, kit=OXYGEN_TABLETS)
    assert (reading.kit, reading.kit_value, reading.low, reading.high) == (OXYGEN_TABLETS, None, 7.0, 7.0)


@pytest.mark.parametrize(
    ("parameter", "kit", "value", "mark"),
    [
        ("nitrate", NITRATE_CARD, 0.1, "<"),
        ("transparency", TUBE_60, 60, "<"),
        ("transparency", TUBE_120, 60, ">"),
    ],
)
def test_a_written_limit_is_never_turned_into_another(parameter, kit, value, mark):
    reading = read(parameter, value, kit=kit, censored=mark)
    assert (reading.value, reading.censored) == (value, mark)


def test_bounds_are_decimals_a_person_would_write():
    # 17.2 + 0.4 by hand; binary fractions make 17.599999999999998 of it
    assert read("dissolved_oxygen", 17.2, kit=OXYGEN_TITRATOR).high == 17.6


def test_ph_needs_no_unit():
    assert read("ph", 7.0, unit=None, kit=PH_WHOLE).unit == "std units"


def test_a_unit_of_another_parameter_is_refused():
    with pytest.raises(ValueError, match="degF is not a unit of ph"):
        read("ph", 7.0, unit="degF")


@pytest.mark.parametrize(
    ("kit", "lowest", "highest"),
    [(OXYGEN_TABLETS, 4, 8), (PH_WHOLE, 4, 10), (TUBE_60, 1, 60), (ALKALINITY_DROPS, 17.1, 513)],
)
def test_ends_of_a_scale(kit, lowest, highest):
    assert (lowest_readable(kit), highest_readable(kit)) == (lowest, highest)


@pytest.mark.parametrize(
    ("written", "value", "censored"),
    [(2419.6, 2419.6, Censoring.ABOVE), (2419.17, 2419.17, None), (0, 1, Censoring.BELOW), (1, 1, None)],
)
def test_a_tray_with_every_well_positive_is_more_than_its_highest_number(written, value, censored):
    # common practice: the table of a tray of 97 wells ends at 2419.6, which it calls "more than"
    found = read("e_coli", written, kit=TRAY)
    assert (found.value, found.censored) == (value, censored)
    assert (found.high == inf) is (censored is Censoring.ABOVE)


def test_a_plate_past_counting_is_more_than_its_highest_number():
    assert read("e_coli", PLATE_1ML.upper, kit=PLATE_1ML).censored is Censoring.ABOVE
