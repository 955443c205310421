from dataclasses import replace
from datetime import date

import pytest

from service.science.flags import Flag
from service.science.qa.checks import catch_repeated
from tests.science.qa.catch_visits import visit_catching
from tests.science.qa.limits import limits_for
from tests.science.qa.visits import visit_with

LIMITS = limits_for("catch-repeated")
APRIL, MAY = date(2026, 4, 16), date(2026, 5, 7)


def finding(*lines, on=(MAY,)):
    return catch_repeated.run(replace(visit_catching(*lines), same_catch_on=on), LIMITS)


@pytest.mark.parametrize(
    ("lines", "flag"),
    [
        (("mayfly 10", "scud 7", "midge 3"), 3),
        (("mayfly 10", "scud 7", "midge 2"), 1),  # 19 animals
        (("mayfly 100", "scud 70"), 1),  # 2 lines
        (("mayfly 100", "scud 70", "midge 0"), 1),  # not found is no line
    ],
)
def test_which_catches_are_too_large_to_come_out_twice(lines, flag):
    found = finding(*lines)
    assert found.flag == flag
    assert "2026-05-07" in found.message


def test_letters_repeat_by_themselves():
    found = finding("mayfly D", "scud C", "midge C", "worm R")
    assert found.flag is Flag.PASS
    assert found.message == "The letters are the same as on 2026-05-07; that can happen."


def test_the_dates_are_told():
    found = finding("mayfly 38", "scud 12", "midge 7", on=(APRIL, MAY))
    assert found.message == (
        "The catch is exactly the same as on 2026-04-16, 2026-05-07: 3 lines with 57 animals, every number "
        "alike. Two samples hardly ever come out the same."
    )
    assert "field sheet" in found.advice


def test_a_new_catch_passes_without_a_word():
    found = finding("mayfly 38", "scud 12", "midge 7", on=())
    assert (found.flag, found.message) == (Flag.PASS, "")


def test_without_a_catch_it_says_nothing():
    assert catch_repeated.run(visit_with(), LIMITS) is None
