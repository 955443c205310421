import pytest

from service.science.flags import Flag
from service.science.qa.checks import catch_sensitive_animals
from service.science.types import Kit
from tests.science.kits import OXYGEN_DROPS, OXYGEN_TABLETS, read
from tests.science.qa.catch_visits import visit_catching
from tests.science.qa.limits import limits_for
from tests.science.qa.visits import visit_with

LIMITS = limits_for("catch-sensitive-animals")
AT_20 = read("water_temperature", 20.0)
LITTLE = (read("dissolved_oxygen", 1.0), AT_20)
PERCENT_METER = Kit(
    "percent-meter", "oxygen meter", "meter", "dissolved_oxygen_saturation", "%", 0, 200, step=1, accuracy=3
)


def finding(*lines, readings=LITTLE):
    return catch_sensitive_animals.run(visit_catching(*lines, readings=readings), LIMITS)


@pytest.mark.parametrize(
    ("lines", "flag"),
    [
        # families and their tolerance: EPA Rapid Bioassessment Protocols 1999, Appendix B
        (("Perlidae 5",), 3),  # 1
        (("Perlidae 4",), 1),
        (("Leptophlebiidae 5",), 3),  # 2
        (("Glossosomatidae 3", "Ephemerellidae 2"), 3),  # 0 and 1
        (("stonefly 5",), 3),  # all families of stoneflies have 0 to 2
        (("mayfly 50",), 1),  # the families of mayflies have 0 to 7
        (("Helicopsychidae 50",), 1),  # 3
        (("Baetidae 50",), 1),  # 4
        (("Gomphidae 50", "hellgrammite 9"), 1),  # low tolerance, but no stonefly, mayfly or caddisfly
        (("Perlidae/adult 50",), 1),  # it flew in
        (("stonefly R",), 1),
        (("stonefly C",), 3),
        (("wriggly thing 50", "stonefly 0"), 1),
        ((), 1),
    ],
)
def test_who_cannot_live_with_little_oxygen(lines, flag):
    assert finding(*lines).flag == flag


@pytest.mark.parametrize(
    ("readings", "flag"),
    [
        # percent of 9.092 mg/L at 20 degC, 1 atm (Benson & Krause 1984), by hand
        ((read("dissolved_oxygen", 2.7), AT_20), 3),  # 29.7 %
        ((read("dissolved_oxygen", 2.8), AT_20), 1),  # 30.8 %
        ((read("dissolved_oxygen", 2.0, kit=OXYGEN_DROPS), AT_20), 3),  # up to 2.25 mg/L: 24.7 %
        ((read("dissolved_oxygen", 2.5, kit=OXYGEN_DROPS), AT_20), 1),  # 27.5 %, but up to 2.75 mg/L: 30.2 %
        ((read("dissolved_oxygen", 0.0, kit=OXYGEN_TABLETS), AT_20), 1),  # below 4 mg/L: up to 44.0 %
        ((read("dissolved_oxygen", 20.0, kit=OXYGEN_DROPS, censored=">"), AT_20), 1),
        ((read("dissolved_oxygen_saturation", 26.0, kit=PERCENT_METER),), 3),  # 23 to 29 %
        ((read("dissolved_oxygen_saturation", 27.0, kit=PERCENT_METER),), 1),  # 24 to 30 %
        # a repeat that agrees with the animals
        ((read("dissolved_oxygen", 1.0), read("dissolved_oxygen", 8.0, position=1), AT_20), 1),
    ],
)
def test_the_whole_range_must_be_too_low(readings, flag):
    assert finding("stonefly 12", readings=readings).flag == flag


@pytest.mark.parametrize("readings", [(), (AT_20,), (read("dissolved_oxygen", 1.0),)])
def test_without_oxygen_or_temperature_it_is_not_evaluated(readings):
    found = finding("stonefly 12", readings=readings)
    assert found.flag is Flag.NOT_EVALUATED
    assert "Next time measure oxygen and water temperature" in found.advice


def test_without_sensitive_animals_no_oxygen_is_asked_for():
    found = finding("midge 90", readings=())
    assert (found.flag, found.message, found.advice) == (Flag.PASS, "", "")


def test_the_message_names_animals_and_percent():
    # 1 mg/L is 11.0 % of 9.092 mg/L (Benson & Krause 1984)
    found = finding("stonefly 12", "saddle-case maker 3")
    assert found.message == (
        'Animals that need much oxygen: 15 ("stonefly", "saddle-case maker"). They hardly ever live below '
        "30 % of the oxygen that the water can hold, but the reading is at most 11 %: one of the two is "
        "wrong."
    )
    assert "wait the full time" in found.advice
    assert "two tails" in found.advice


def test_an_open_range_has_no_number_in_the_evidence():
    readings = (read("dissolved_oxygen", 20.0, kit=OXYGEN_DROPS, censored=">"), AT_20)
    assert finding("stonefly 12", readings=readings).evidence["percent_to"] is None


def test_without_a_catch_it_says_nothing():
    assert catch_sensitive_animals.run(visit_with(*LITTLE), LIMITS) is None
