import pytest

from service.science.qa.checks import disturbed_water
from tests.science.kits import TUBE_60, TURBIDITY_METER, read
from tests.science.qa.visits import visit_with


def finding(parameter, kit, **procedure):
    reading = read(parameter, 12, kit=kit, procedure=procedure)
    return disturbed_water.run(reading, visit_with(reading), {})


@pytest.mark.parametrize(("parameter", "kit"), [("transparency", TUBE_60), ("turbidity", TURBIDITY_METER)])
@pytest.mark.parametrize(
    ("procedure", "flag"), [({"undisturbed_water": False}, 3), ({"undisturbed_water": True}, 1), ({}, 2)]
)
def test_stirred_up_water_is_not_the_stream(parameter, kit, procedure, flag):
    # the tube is filled where nothing was stirred up: common practice of the trade
    assert finding(parameter, kit, **procedure).flag == flag


def test_the_advice_sends_the_class_upstream():
    assert (
        "upstream of where anybody stood" in finding("transparency", TUBE_60, undisturbed_water=False).advice
    )


def test_not_noted_stays_quiet():
    assert finding("transparency", TUBE_60).advice == ""


def test_the_cloudiness_of_the_water_is_asked_and_nothing_else():
    assert disturbed_water.CHECK.parameters == {"transparency", "turbidity"}
