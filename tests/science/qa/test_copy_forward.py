from datetime import date, timedelta

import pytest

from service.science.flags import Flag
from service.science.kit_reading import interpret
from service.science.qa.checks import copy_forward
from service.science.types import Censoring, PastReading
from tests.science.qa.limits import CATALOGUE, limits_for
from tests.science.qa.visits import visit_with

LIMITS = limits_for("copy-forward")
TODAY, LAST_WEEK, BEFORE = date(2026, 5, 14), date(2026, 5, 7), date(2026, 4, 30)


def read(text, position=0):
    """One reading written "kit value", "kit <value" or "parameter= value" where no kit was named."""
    name, written = text.split(" ")
    kit = None if name.endswith("=") else CATALOGUE.kits[name]
    parameter = CATALOGUE.parameters[name.rstrip("=") if kit is None else kit.parameter]
    side = Censoring(written[0]) if written[0] in "<>" else None
    unit = None if kit is None else kit.unit
    value = float(written.lstrip("<>"))
    return interpret(position, parameter, kit, value, unit, censored=side, procedure={})


def past(*texts, on=LAST_WEEK):
    """The history that these readings leave behind."""
    history = {}
    for reading in map(read, texts):
        history[reading.parameter] = (PastReading(on, reading.value, reading.censored),)
    return history


def finding(now, history):
    return copy_forward.run(visit_with(*map(read, now), history=history), LIMITS)


THERMOMETER, TUBE = "thermometer-alcohol 11.5", "transparency-tube-120 74"
PH, OXYGEN, NITRATE = "ph-comparator-wide 7", "oxygen-ampoule-comparator 8", "nitrate-zinc-comparator 1"
PHOSPHATE, ALKALINITY = "phosphate-ascorbic-comparator 0.2", "alkalinity-drop-count 80"
# the case of six equal readings in the list of cases that the checks were planned with
SIX = (THERMOMETER, TUBE, PH, NITRATE, PHOSPHATE, "oxygen-titrator 9.2")


def test_six_equal_readings_are_suspect():
    # 0.1 x 0.1 x 0.1 x 0.65 x 0.65 x 0.65, worked by hand
    found = finding(SIX, past(*SIX))
    assert found.flag is Flag.SUSPECT
    assert found.evidence["chance"] == pytest.approx(0.00027)
    assert found.message == (
        "Every reading is the same as on 2026-05-07 (water temperature, transparency, pH, nitrate, "
        "phosphate, dissolved oxygen). By itself that would happen about once in 4000 visits."
    )
    assert "copied or sent again" in found.advice


@pytest.mark.parametrize(
    ("changed", "to"),
    [
        (THERMOMETER, "thermometer-alcohol 12"),
        (PH, "ph-comparator-wide 7.5"),
        (NITRATE, "nitrate-zinc-comparator <0.25"),
        (TUBE, "transparency-tube-120 >120"),
    ],
)
def test_one_reading_that_differs_clears_the_visit(changed, to):
    now = [to if text == changed else text for text in SIX]
    found = finding(now, past(*SIX))
    assert (found.flag, found.message) == (Flag.PASS, "")


@pytest.mark.parametrize(
    ("readings", "flag", "chance"),
    [
        # chances of one reading: lines 0.1, drops 0.3, colour marks 0.65; products worked by hand
        ((THERMOMETER, TUBE, PH, OXYGEN), 3, 0.0042),
        ((THERMOMETER, ALKALINITY, PH, OXYGEN), 1, 0.013),
        ((THERMOMETER, PH, OXYGEN, NITRATE, PHOSPHATE), 1, 0.018),
        ((THERMOMETER, ALKALINITY, "hardness-drop-count 100", PH), 1, 0.0059),
        # without a kit the digits tell how fine the scale was
        (("water_temperature= 11.5", "ph= 7.2", "dissolved_oxygen= 8", "alkalinity= 80"), 3, 0.0042),
        (("water_temperature= 11.5", "ph= 7", "dissolved_oxygen= 8", "alkalinity= 80"), 1, 0.027),
        # what is only known to be less or more must agree, but lends no weight
        ((THERMOMETER, TUBE, PH, OXYGEN, "nitrate-tablet-comparator <5"), 3, 0.0042),
        ((THERMOMETER, "transparency-tube-120 >120", PH, OXYGEN, NITRATE), 1, 0.027),
    ],
)
def test_the_scales_decide_what_may_repeat_by_itself(readings, flag, chance):
    found = finding(readings, past(*readings))
    assert found.flag == flag
    assert found.evidence["chance"] == pytest.approx(chance)
    assert found.message.startswith("Every reading is the same as on 2026-05-07")


def test_a_number_and_less_than_that_number_differ():
    now, then = "nitrate-tablet-comparator <5", "nitrate-tablet-comparator 5"
    assert finding((*SIX[:3], OXYGEN, now), past(*SIX[:3], OXYGEN, then)).message == ""


def test_three_numbers_are_too_few():
    now = (THERMOMETER, TUBE, "oxygen-titrator 9.2", "nitrate-tablet-comparator <5")
    assert finding(now, past(*now)) is None


def test_repeats_of_one_parameter_are_one_number():
    now = (THERMOMETER, THERMOMETER, TUBE, PH)
    assert finding(now, past(*now)) is None


def test_only_the_last_date_is_compared():
    # the same numbers two weeks ago, others last week
    other = [text for text in SIX if text != THERMOMETER]
    history = {
        parameter: past(*SIX, on=BEFORE)[parameter] + past(*other, "thermometer-alcohol 9")[parameter]
        for parameter in past(*SIX)
    }
    assert finding(SIX, history).flag is Flag.PASS


def test_a_reading_that_was_not_taken_last_time_clears_the_visit():
    assert finding((*SIX, ALKALINITY), past(*SIX)).flag is Flag.PASS


def test_the_dates_of_one_parameter_may_be_older():
    history = past(*SIX) | past(THERMOMETER, on=LAST_WEEK - timedelta(days=7))
    assert finding(SIX, history).flag is Flag.PASS


def test_without_an_earlier_visit_it_says_nothing():
    assert finding(SIX, {}) is None
