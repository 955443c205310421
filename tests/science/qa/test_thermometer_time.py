from dataclasses import replace

import pytest

from service.science.flags import Flag
from service.science.qa.checks import thermometer_time
from tests.science.kits import THERMOMETER, read
from tests.science.qa.limits import limits_for
from tests.science.qa.visits import visit_with

LIMITS = limits_for("thermometer-time", "water_temperature")


def finding(kit=THERMOMETER, **procedure):
    reading = read("water_temperature", 12.0, kit=kit, procedure=procedure)
    return thermometer_time.run(reading, visit_with(reading), LIMITS)


@pytest.mark.parametrize(
    ("seconds", "flag", "says_better"),
    [
        # 30 to 60 s: common practice of the trade; 60 s: USGS National Field Manual A6.1, second-hand
        (0, 3, True),
        (29, 3, True),
        (30, 1, True),
        (59, 1, True),
        (60, 1, False),
        (600, 1, False),
    ],
)
def test_seconds_in_the_water(seconds, flag, says_better):
    found = finding(seconds_in_water=seconds)
    assert found.flag == flag
    assert ("better" in found.message) is says_better


def test_too_short_says_what_to_do():
    found = finding(seconds_in_water=10)
    assert found.message == (
        "The thermometer was in the water for 10 s: too short. It needs 30 s at the very least, better 60 s."
    )
    assert "full minute" in found.advice


def test_not_noted_asks_for_it():
    found = finding()
    assert found.flag is Flag.NOT_EVALUATED
    assert "count the seconds" in found.advice


@pytest.mark.parametrize("kit", [None, replace(THERMOMETER, kind="meter")])
def test_only_a_thermometer_is_asked(kit):
    found = finding(kit, seconds_in_water=1)
    assert (found.flag, found.advice) == (Flag.NOT_EVALUATED, "")
