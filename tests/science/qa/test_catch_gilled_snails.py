import pytest

from service.science.qa.checks import catch_gilled_snails
from tests.science.qa.catch_visits import visit_catching
from tests.science.qa.limits import limits_for
from tests.science.qa.visits import visit_with

LIMITS = limits_for("catch-gilled-snails")


def finding(*lines):
    return catch_gilled_snails.run(visit_catching(*lines), LIMITS)


@pytest.mark.parametrize(
    ("lines", "flag", "snails"),
    [
        (("gilled snail 20",), 1, 20),
        (("gilled snail 21",), 3, 21),
        (("gilled snail 11", "Hydrobiidae 10"), 3, 21),  # families of gilled snails: common practice
        (("pouch snail 90", "Planorbidae 30"), 1, 0),  # these breathe air
        (("snail 90",), 1, 0),  # the class did not look for a lid
        (("gilled snail D",), 3, 100),
        (("gilled snail C",), 1, 10),  # 10 to 99: perhaps only 10
        ((), 1, 0),
    ],
)
def test_how_many_are_a_crowd(lines, flag, snails):
    found = finding(*lines)
    assert (found.flag, found.evidence["gilled_snails"]) == (flag, snails)


@pytest.mark.parametrize(
    ("line", "start"), [("gilled snail 33", "33 gilled"), ("gilled snail D", "100 or more gilled")]
)
def test_the_message_says_how_many_and_why_it_is_asked(line, start):
    found = finding(line)
    assert found.message.startswith(start)
    assert "invasive mudsnail" in found.message
    assert "6 mm" in found.advice
    assert "photograph" in found.advice


def test_without_a_catch_it_says_nothing():
    assert catch_gilled_snails.run(visit_with(), LIMITS) is None
