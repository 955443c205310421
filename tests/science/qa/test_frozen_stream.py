import pytest

from service.science.flags import Flag
from service.science.qa.checks import frozen_stream
from tests.science.kits import THERMOMETER_WITHIN_1, read
from tests.science.qa.limits import limits_for
from tests.science.qa.visits import visit_with

LIMITS = limits_for("frozen-stream", "water_temperature")


def finding(water_c, ice=None, **about):
    water = read("water_temperature", water_c, **about)
    conditions = {} if ice is None else {"ice": ice}
    return frozen_stream.run(water, visit_with(water, conditions=conditions), LIMITS)


@pytest.mark.parametrize(
    ("water_c", "flag"),
    # K12, K13 and common practice: water is heaviest at 4 degC; -1 to 0 is a thermometer a little off
    [(0.0, 1), (9.0, 3), (4.0, 1), (4.1, 3), (-0.5, 1), (-1.0, 1)],
)
def test_under_a_cover_of_ice(water_c, flag):
    assert finding(water_c, "cover").flag == flag


def test_what_the_thermometer_leaves_open_must_be_out_too():
    # within 1 degC: 5 leaves 4 open, 5.5 only 4.5 and more
    assert finding(5.0, "cover", kit=THERMOMETER_WITHIN_1).flag is Flag.PASS
    assert finding(5.5, "cover", kit=THERMOMETER_WITHIN_1).flag is Flag.SUSPECT


@pytest.mark.parametrize("ice", [None, "none", "edge"])
def test_without_a_cover_it_stays_out_of_the_way(ice):
    assert finding(9.0, ice) is None


def test_it_keeps_the_class_off_the_ice():
    found = finding(9.0, "cover")
    assert found.message.startswith("Water of 9 °C does not fit a stream covered with ice")
    assert "4 °C" in found.message
    assert found.advice.startswith("Stay off the ice.")
