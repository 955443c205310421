import pytest

from service.science.flags import Flag
from service.science.qa.checks import catch_land_animals
from tests.science.qa.catch_visits import visit_catching
from tests.science.qa.limits import limits_for
from tests.science.qa.visits import visit_with

LIMITS = limits_for("catch-land-animals")


def finding(*lines):
    return catch_land_animals.run(visit_catching(*lines), LIMITS)


@pytest.mark.parametrize(
    ("lines", "flag", "percent"),
    [
        # ants, spiders, millipedes and earthworms live on land: common practice
        (("mayfly 40", "ant 2"), 1, 4.8),
        (("mayfly 5", "ant 2", "spider 3"), 1, 50.0),
        (("mayfly 5", "ant 2", "spider 4"), 3, 54.5),
        (("millipede 1",), 3, 100.0),
        (("mayfly C", "ant R"), 1, 50.0),
        (("mayfly D", "ant R", "spider R"), 3, 66.7),
        # these live in the water or on its skin: common practice
        (("water strider 9", "worm 3", "midge 2"), 1, 0.0),
        (("ant 0", "mayfly 3"), 1, 0.0),
        (("wriggly thing 9", "mayfly 1"), 1, 0.0),
        ((), 1, 0.0),
    ],
)
def test_the_share_of_animals_of_the_land(lines, flag, percent):
    found = finding(*lines)
    assert (found.flag, found.evidence["land_percent"]) == (flag, percent)


def test_a_few_are_told_without_asking_for_anything():
    found = finding("mayfly 40", "ant 2", "spider 1")
    assert found.message == 'Left out of the scores: 3 animals of the land that fell in: "ant", "spider".'
    assert found.advice == ""


def test_most_of_the_catch_from_the_land_asks_for_a_new_sample():
    found = finding("mayfly 4", "earthworm 9")
    assert found.flag is Flag.SUSPECT
    assert found.message.endswith('"earthworm". That is more than 50 % of the catch.')
    assert "take the sample again" in found.advice


def test_no_land_animal_needs_no_word():
    assert finding("mayfly 40").message == ""


def test_without_a_catch_it_says_nothing():
    assert catch_land_animals.run(visit_with(), LIMITS) is None
