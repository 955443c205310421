import pytest

from service.science.flags import Flag
from service.science.qa.checks import catch_round_number
from tests.science.qa.catch_visits import visit_catching
from tests.science.qa.limits import limits_for
from tests.science.qa.visits import visit_with

LIMITS = limits_for("catch-round-number")


def finding(*lines):
    return catch_round_number.run(visit_catching(*lines), LIMITS)


@pytest.mark.parametrize(
    ("lines", "is_told"),
    [
        (("mayfly 60", "scud 40"), True),
        (("mayfly 30", "scud 20"), True),
        (("mayfly 120", "scud 80"), True),
        (("mayfly 59", "scud 40"), False),
        (("mayfly 61", "scud 40"), False),
        (("mayfly 90", "scud 60"), False),  # 150 is not where classes stop
        # small animals were looked for: midges, black flies and worms (common practice)
        (("mayfly 60", "midge 40"), False),
        (("mayfly 60", "bloodworm 40"), False),
        (("mayfly 60", "black fly 40"), False),
        (("mayfly 60", "worm 40"), False),
        (("mayfly 60", "scud 40", "midge 0"), True),
        (("mayfly 60", "wriggly thing 40"), False),  # it may be a small one
        ((), False),
    ],
)
def test_where_the_count_ends(lines, is_told):
    found = finding(*lines)
    assert found.flag is Flag.PASS
    assert bool(found.message) is bool(found.advice) is is_told


def test_the_message_gives_the_number():
    assert finding("mayfly 60", "scud 40").message == (
        "The catch has exactly 100 animals, and no midge, black fly or worm is among them. If you stopped "
        "counting at 100, small animals stayed behind, and large ones look too common."
    )


def test_letters_have_no_number():
    assert finding("mayfly D", "scud C") is None


def test_without_a_catch_it_says_nothing():
    assert catch_round_number.run(visit_with(), LIMITS) is None
