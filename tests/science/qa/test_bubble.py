import pytest

from service.science.qa.checks import bubble
from tests.science.kits import OXYGEN_DROPS, OXYGEN_METER, OXYGEN_TABLETS, OXYGEN_TITRATOR, read
from tests.science.qa.visits import visit_with


def finding(kit, **procedure):
    reading = read("dissolved_oxygen", 8, kit=kit, procedure=procedure)
    return bubble.run(reading, visit_with(reading), {})


@pytest.mark.parametrize("kit", [OXYGEN_TABLETS, OXYGEN_DROPS, OXYGEN_TITRATOR, None])
@pytest.mark.parametrize(
    ("procedure", "flag"), [({"bubble_free": False}, 3), ({"bubble_free": True}, 1), ({}, 2)]
)
def test_a_bubble_adds_oxygen(kit, procedure, flag):
    # no bubble before and after closing: procedure pages of schools and universities
    assert finding(kit, **procedure).flag == flag


def test_a_bubble_is_explained_and_the_test_repeated():
    found = finding(OXYGEN_TITRATOR, bubble_free=False)
    assert "may be too high" in found.message
    assert found.advice.startswith("Repeat the test")


def test_not_noted_stays_quiet():
    assert finding(OXYGEN_TITRATOR).advice == ""


def test_a_meter_has_no_bottle():
    assert finding(OXYGEN_METER, bubble_free=False) is None


def test_only_oxygen_is_asked():
    assert bubble.CHECK.parameters == {"dissolved_oxygen"}
