import pytest

from service.science.flags import Flag
from service.science.qa.checks import catch_names
from tests.science.qa.catch_visits import visit_catching
from tests.science.qa.limits import limits_for
from tests.science.qa.visits import visit_with

LIMITS = limits_for("catch-names")


def finding(*lines):
    return catch_names.run(visit_catching(*lines), LIMITS)


@pytest.mark.parametrize(
    ("lines", "flag", "percent"),
    [
        (("mayfly 90", "wriggly thing 0"), 1, 0.0),  # looked for and not found
        (("mayfly 90", "wriggly thing 10"), 1, 10.0),
        (("mayfly 89", "wriggly thing 11"), 3, 11.0),
        (("mayfly 80", "wriggly thing 6", "other thing 6"), 3, 13.0),
        (("wriggly thing 1",), 3, 100.0),
        # letters are no numbers: their lines are counted
        (("mayfly C", "scud R", "midge D", "wriggly thing R"), 3, 25.0),
        ((), 1, 0.0),  # an empty net
    ],
)
def test_the_share_of_animals_without_a_name(lines, flag, percent):
    found = finding(*lines)
    assert (found.flag, found.evidence["unnamed_percent"]) == (flag, percent)


def test_one_line_in_ten_with_letters_passes():
    known = ("mayfly", "stonefly", "scud", "midge", "worm", "leech", "crayfish", "sowbug", "water penny")
    assert finding(*(f"{name} R" for name in known), "wriggly thing R").flag is Flag.PASS


def test_a_name_that_fits_several_animals_is_asked_about():
    # a freshwater shrimp may be a scud or a shrimp (common practice)
    found = finding("mayfly 99", "freshwater shrimp 1")
    assert found.flag is Flag.PASS
    assert found.message == (
        "Left out of the scores: 1 animal (1 % of the catch) whose name is not in the list or fits several "
        'animals: "freshwater shrimp".'
    )
    assert "photograph" in found.advice


def test_a_long_list_of_names_is_cut():
    found = finding(*(f"wriggly thing {chr(97 + n)}{chr(97 + n)} 2" for n in range(7)), "wriggly thing aa 1")
    assert found.message.count("wriggly") == 5
    assert 'thing ee" and 2 more.' in found.message
    assert found.message.endswith("With more than 10 % left out, a score says little.")


def test_known_names_need_no_word():
    found = finding("mayfly 38", "midge 20")
    assert (found.flag, found.message, found.advice) == (Flag.PASS, "", "")


def test_without_a_catch_it_says_nothing():
    assert catch_names.run(visit_with(), LIMITS) is None
