import pytest

from service.science.qa.checks import tube_turbidity
from tests.science.kits import TUBE_60, TUBE_120, TURBIDITY_METER, read
from tests.science.qa.limits import limits_for
from tests.science.qa.visits import visit_with

LIMITS = limits_for("tube-turbidity", "transparency")


def flags(tubes, meters):
    """Return the flags of all readings, tubes first."""
    tubes = [read("transparency", position=n, **tube) for n, tube in enumerate(tubes)]
    meters = [read("turbidity", position=10 + n, **meter) for n, meter in enumerate(meters)]
    visit = visit_with(*tubes, *meters)
    return [int(tube_turbidity.run(reading, visit, LIMITS).flag) for reading in visit.readings]


FULL_120 = {"value": 120.0, "censored": ">"}


@pytest.mark.parametrize(
    ("tube", "meter", "flag"),
    [
        # K10, K11 and common practice: 120 cm and more, 10 cm and less, 20 NTU between them
        (FULL_120, {"value": 60.0}, 3),
        (FULL_120, {"value": 20.1}, 3),
        (FULL_120, {"value": 20.0}, 1),
        ({"value": 120.0, "kit": TUBE_120}, {"value": 60.0}, 3),  # a full tube, not marked
        ({"value": 120.0}, {"value": 60.0}, 3),
        ({"value": 119.0}, {"value": 60.0}, 1),
        ({"value": 120.0, "censored": "<"}, {"value": 60.0}, 1),
        ({"value": 6.0}, {"value": 3.0}, 3),
        ({"value": 9.9}, {"value": 19.9}, 3),
        ({"value": 10.0}, {"value": 3.0}, 1),
        ({"value": 9.9}, {"value": 20.0}, 1),
        ({"value": 6.0, "censored": "<"}, {"value": 3.0}, 3),
        ({"value": 6.0, "censored": ">"}, {"value": 3.0}, 1),
        ({"value": 30.0}, {"value": 60.0}, 1),
        # what is censored counts with what is certain of it
        (FULL_120, {"value": 60.0, "censored": "<"}, 1),
        (FULL_120, {"value": 1000.0, "censored": ">"}, 3),
        ({"value": 6.0}, {"value": 1.0, "censored": ">"}, 1),
        ({"value": 6.0}, {"value": 5.0, "censored": "<"}, 3),
    ],
)
def test_clear_beside_cloudy(tube, meter, flag):
    assert flags([tube], [meter]) == [flag, flag]


@pytest.mark.parametrize("meter_ntu", [60.0, 900.0])
def test_a_full_tube_of_60_cm_says_nothing_of_120(meter_ntu):
    tube = {"value": 60.0, "censored": ">", "kit": TUBE_60}
    assert flags([tube], [{"value": meter_ntu, "kit": TURBIDITY_METER}]) == [1, 1]


def test_what_the_kits_leave_open_must_be_out_too():
    # the tube within 2 cm: 8 leaves 10 open, 7.9 not
    assert flags([{"value": 8.0, "kit": TUBE_120}], [{"value": 3.0}]) == [1, 1]
    assert flags([{"value": 7.9, "kit": TUBE_120}], [{"value": 3.0}]) == [3, 3]


def test_one_slip_among_repeats_is_not_blamed_on_the_tube():
    # the meter was read as 60 once and as 6 once: only the 60 fits no tube
    assert flags([FULL_120], [{"value": 60.0}, {"value": 6.0}]) == [1, 3, 1]


@pytest.mark.parametrize("parameter", ["transparency", "turbidity"])
def test_alone_it_stays_out_of_the_way(parameter):
    reading = read(parameter, 30.0)
    assert tube_turbidity.run(reading, visit_with(reading), LIMITS) is None


def test_both_numbers_are_told_and_neither_is_turned_into_the_other():
    tube, meter = read("transparency", **FULL_120), read("turbidity", 60.0)
    found = tube_turbidity.run(tube, visit_with(tube, meter), LIMITS)
    assert found.message == (
        "Transparency > 120 cm does not fit turbidity 60 NTU: where the disk is seen through 120 cm of "
        "water, a meter hardly ever shows more than 20 NTU."
    )
    assert (found.evidence["transparency_cm"], found.evidence["turbidity_ntu"]) == (120.0, 60.0)
    cloudy = read("transparency", 6.0)
    found = tube_turbidity.run(cloudy, visit_with(cloudy, read("turbidity", 3.0)), LIMITS)
    assert "gone before 10 cm, a meter hardly ever shows less than 20 NTU" in found.message
