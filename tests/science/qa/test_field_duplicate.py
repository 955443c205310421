from dataclasses import replace
from datetime import date

import pytest

from service.science.flags import Flag
from service.science.qa.checks import field_duplicate
from service.science.types import Censoring, PastReading, VisitKind
from tests.science.kits import OXYGEN_METER, OXYGEN_TABLETS, OXYGEN_TITRATOR, PH_HALF, TRAY, TUBE_60, read
from tests.science.qa.limits import limits_for
from tests.science.qa.visits import visit_with

ON = date(2026, 5, 14)


def finding(reading, *routine, kind=VisitKind.FIELD_REPLICATE):
    kit = reading.kit
    same_day = tuple(
        PastReading(ON, value, censored, kit.code if kit else None, kit.kind if kit else None)
        for value, censored in routine
    )
    visit = replace(visit_with(reading), kind=kind, same_day={reading.parameter: same_day})
    return field_duplicate.run(reading, visit, limits_for("field-duplicate", reading.parameter))


@pytest.mark.parametrize(
    ("parameter", "kit", "value", "routine", "flag"),
    [
        # by steps for cards (own rule from what a step leaves open): one step apart agrees, two do not
        ("ph", PH_HALF, 7.5, 7.0, 1),
        ("ph", PH_HALF, 8.0, 7.0, 3),
        ("dissolved_oxygen", OXYGEN_TABLETS, 8.0, 4.0, 1),
        # relative difference for titrations and meters: 20 % (common practice)
        ("dissolved_oxygen", OXYGEN_TITRATOR, 9.0, 7.4, 1),
        ("dissolved_oxygen", OXYGEN_TITRATOR, 9.0, 7.2, 3),
        ("dissolved_oxygen", OXYGEN_METER, 9.0, 7.4, 1),
        ("dissolved_oxygen", OXYGEN_METER, 9.0, 7.2, 3),
        ("transparency", TUBE_60, 40, 33, 1),
        ("transparency", TUBE_60, 40, 32, 3),
        # a factor of five for counts
        ("e_coli", TRAY, 100.0, 490.0, 1),
        ("e_coli", TRAY, 100.0, 510.0, 3),
        # without a kit only what is far apart
        ("water_temperature", None, 18.0, 16.0, 1),
        ("water_temperature", None, 18.0, 15.9, 3),
        ("dissolved_oxygen", None, 8.0, 9.5, 1),
        ("dissolved_oxygen", None, 8.0, 9.6, 3),
        ("dissolved_oxygen_saturation", None, 80.0, 95.0, 1),
        ("dissolved_oxygen_saturation", None, 80.0, 96.0, 3),
        ("e_coli", None, 10.0, 99.0, 1),
        ("e_coli", None, 10.0, 105.0, 3),
        ("ph", None, 7.0, 9.0, 2),
    ],
)
def test_how_far_a_duplicate_may_be_from_its_visit(parameter, kit, value, routine, flag):
    assert finding(read(parameter, value, kit=kit), (routine, None)).flag == flag


def test_the_nearest_of_several_counts():
    reading = read("dissolved_oxygen", 9.0, kit=OXYGEN_TITRATOR)
    assert finding(reading, (2.0, None), (8.8, None)).flag is Flag.PASS


@pytest.mark.parametrize(
    ("censored", "routine", "routine_censored", "flag"),
    [(None, 60, ">", 3), (">", 60, ">", 1), (">", 30, None, 3)],
)
def test_limits_differ_only_by_what_is_certain(censored, routine, routine_censored, flag):
    reading = read("transparency", 60 if censored else 40, kit=TUBE_60, censored=censored)
    side = Censoring(routine_censored) if routine_censored else None
    assert finding(reading, (routine, side)).flag == flag


def test_without_a_routine_reading_of_the_day_it_is_not_evaluated():
    found = finding(read("ph", 7.0, kit=PH_HALF))
    assert found.flag is Flag.NOT_EVALUATED
    assert "no other reading" in found.message


def test_another_kit_is_not_compared():
    reading = read("dissolved_oxygen", 9.0, kit=OXYGEN_TITRATOR)
    other = PastReading(ON, 2.0, None, OXYGEN_METER.code, "meter")
    visit = replace(
        visit_with(reading), kind=VisitKind.FIELD_REPLICATE, same_day={"dissolved_oxygen": (other,)}
    )
    found = field_duplicate.run(reading, visit, limits_for("field-duplicate", "dissolved_oxygen"))
    assert found.flag is Flag.NOT_EVALUATED


def test_a_visit_without_a_duplicate_is_not_asked():
    assert finding(read("ph", 9.0, kit=PH_HALF), kind=VisitKind.ROUTINE) is None


def test_a_visit_that_comes_after_its_duplicate_is_asked_instead():
    found = finding(read("ph", 9.0, kit=PH_HALF), (7.0, None), kind=VisitKind.ROUTINE)
    assert found.flag is Flag.SUSPECT
    assert "pH 9 is far from the 7 of its duplicate" in found.message


def test_the_message_tells_both_numbers_and_what_to_look_at():
    found = finding(read("dissolved_oxygen", 9.0, kit=OXYGEN_TITRATOR), (6.0, None))
    assert "9 mg/L is far from the 6 mg/L of the visit that it repeats" in found.message
    assert "agree within 1.5 mg/L" in found.message
    assert "label" in found.advice
