from dataclasses import replace

import pytest

from service.science.flags import Flag
from service.science.qa.checks import clean_blank
from service.science.qa.engine import assess
from service.science.qa.registry import CHECKS
from service.science.types import VisitKind
from tests.science.kits import (
    ALKALINITY_DROPS,
    NITRATE_CARD,
    NITRATE_TABLETS,
    OXYGEN_TITRATOR,
    PH_WHOLE,
    PLATE_1ML,
    TUBE_60,
    TURBIDITY_METER,
    read,
)
from tests.science.qa.limits import CATALOGUE, limits_for
from tests.science.qa.visits import visit_with

CONDUCTIVITY_METER = CATALOGUE.kits["conductivity-meter"]


def blank(*readings):
    return replace(visit_with(*readings), kind=VisitKind.FIELD_BLANK)


def finding(reading, visit=None):
    limits = limits_for("clean-blank", reading.parameter)
    return clean_blank.run(reading, visit or blank(reading), limits)


@pytest.mark.parametrize(
    ("kit", "value", "mark", "flag"),
    [
        # a blank shows colour or it does not: common practice
        (NITRATE_TABLETS, 0, None, 1),  # understood as "less than the first mark"
        (NITRATE_TABLETS, 5, "<", 1),
        (NITRATE_TABLETS, 5, None, 3),  # the first colour is a colour
        (NITRATE_TABLETS, 40, ">", 3),
        (NITRATE_CARD, 0.25, None, 3),
        (replace(NITRATE_TABLETS, kind="strip"), 5, None, 3),
        (replace(PLATE_1ML, accuracy=100), 100, None, 3),
        (PLATE_1ML, 0, None, 1),
        (PLATE_1ML, 100, None, 3),  # one colony
        # by hand: steps of 17.1, so the first drop leaves 8.55 to 25.65 open, above nothing
        (replace(ALKALINITY_DROPS, accuracy=17.1), 17.1, None, 1),  # within one drop of nothing
        (replace(ALKALINITY_DROPS, accuracy=17.1), 34.2, None, 3),
        # steps of 0.1 NTU and 0.5 NTU of clean water: 0.5 leaves 0.45 open, 0.6 only 0.55 and more
        (TURBIDITY_METER, 0.5, None, 1),
        (TURBIDITY_METER, 0.6, None, 3),
        # +- 40 uS/cm and 10 uS/cm of distilled water: 50 leaves 10 open, 60 only 20 and more
        (CONDUCTIVITY_METER, 50, None, 1),
        (CONDUCTIVITY_METER, 60, None, 3),
    ],
)
def test_what_shows_in_clean_water(kit, value, mark, flag):
    assert finding(read(kit.parameter, value, kit=kit, unit=kit.unit, censored=mark)).flag == flag


@pytest.mark.parametrize(
    ("value", "mark", "flag"), [(0.0, None, 1), (0.1, None, 3), (0.5, "<", 1), (0.0, ">", 3)]
)
def test_without_a_kit_any_number_above_nothing_counts(value, mark, flag):
    assert finding(read("nitrate", value, censored=mark)).flag == flag


def test_the_message_says_what_is_not_clean():
    found = finding(read("nitrate", 5, kit=NITRATE_TABLETS, unit="mg/L as NO3"))
    assert found.message == (
        "Nitrate 5 mg/L as NO3 in a blank: clean water shows nothing, so the reagents or the bottle are not "
        "clean."
    )
    assert "repeat the blank" in found.advice
    turbid = finding(read("turbidity", 3.0, kit=TURBIDITY_METER))
    assert "clean water shows at most 0.5 NTU" in turbid.message


@pytest.mark.parametrize(
    ("parameter", "value", "kit"),
    [
        ("water_temperature", 20.0, None),
        ("ph", 7, PH_WHOLE),
        ("transparency", 60, TUBE_60),
        ("dissolved_oxygen", 8.6, OXYGEN_TITRATOR),
    ],
)
def test_clean_water_has_these_too(parameter, value, kit):
    assert finding(read(parameter, value, kit=kit)) is None


def test_a_routine_visit_is_no_blank():
    reading = read("nitrate", 5, kit=NITRATE_TABLETS, unit="mg/L as NO3")
    assert finding(reading, visit_with(reading)) is None


def test_a_clean_blank_passes_and_a_coloured_one_does_not_with_the_real_checks():
    clean = read("nitrate", 0, kit=NITRATE_TABLETS, unit="mg/L as NO3")
    coloured = read("nitrate", 5, kit=NITRATE_TABLETS, unit="mg/L as NO3")
    assert assess(blank(clean), CHECKS, limits_for).readings[0].flag is Flag.PASS
    assert assess(blank(coloured), CHECKS, limits_for).readings[0].flag is Flag.SUSPECT


def test_everything_a_blank_speaks_of_is_a_parameter():
    assert CATALOGUE.parameters.keys() >= clean_blank.ABSENT_FROM_CLEAN_WATER
