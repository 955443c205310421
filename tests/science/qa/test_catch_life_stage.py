import pytest

from service.science.flags import Flag
from service.science.qa.checks import catch_life_stage
from tests.science.qa.catch_visits import visit_catching
from tests.science.qa.limits import limits_for
from tests.science.qa.visits import visit_with

LIMITS = limits_for("catch-life-stage")


def finding(*lines):
    return catch_life_stage.run(visit_catching(*lines), LIMITS)


@pytest.mark.parametrize(
    ("animal", "flag"),
    [
        # adults of these live out of the water: common practice
        ("mayfly/adult", 3),
        ("stonefly/adult", 3),
        ("caddisfly/adult", 3),
        ("dragonfly/adult", 3),
        ("alderfly/adult", 3),
        ("Sisyridae/adult", 3),
        ("midge/adult", 3),
        ("crane fly adult", 3),  # the name tells the stage
        # these live in the water as adults too: common practice
        ("riffle beetle/adult", 1),
        ("water boatman/adult", 1),
        ("crayfish/adult", 1),
        # young ones
        ("mayfly/nymph", 1),
        ("midge/larva", 1),
        ("midge/pupa", 1),
        ("black fly", 1),
        # a land animal is left out by another check already, a name nobody knows too
        ("Sciaridae/adult", 1),
        ("wriggly thing/adult", 1),
    ],
)
def test_who_can_be_in_the_water_as_an_adult(animal, flag):
    assert finding(f"{animal} 4", "scud 20").flag == flag


@pytest.mark.parametrize(
    ("lines", "flag"),
    [
        # worked by hand: 2 of 100 is the limit
        (("midge/adult 2", "scud 98"), 1),
        (("midge/adult 3", "scud 97"), 3),
        (("midge/adult 0", "scud 3"), 1),
        (("midge/adult R", "scud C"), 3),
    ],
)
def test_a_single_one_among_many_holds_nothing(lines, flag):
    assert finding(*lines).flag == flag


def test_winged_ones_are_named_with_what_to_do_even_when_they_are_few():
    few, many = finding("mayfly/adult 1", "scud 99"), finding("mayfly/adult 3", "scud 9")
    assert few.message == (
        '1 animal written as adult: "mayfly". The adults of these insects have wings and live out of the '
        "water."
    )
    assert many.message.startswith("3 animals written as adult")
    assert few.advice == many.advice
    assert "Take the winged ones out" in few.advice


def test_larva_and_adult_of_a_beetle_are_as_it_should_be():
    found = finding("riffle beetle/larva 9", "riffle beetle/adult 4")
    assert (found.flag, found.message) == (Flag.PASS, "")


def test_without_a_catch_it_says_nothing():
    assert catch_life_stage.run(visit_with(), LIMITS) is None
