import pytest

from service.science.scores.index import Standing
from service.science.scores.scorable import scorable
from service.science.scores.standing import trust_in, unscored
from tests.science.scores.catches import CLASS_VISIT, counted
from tests.science.scores.definitions import DEFINITIONS

DEFINITION = DEFINITIONS["family-biotic-core"]
LINES = scorable(CLASS_VISIT)


@pytest.mark.parametrize(
    ("number", "standing", "may_rate", "reasons"),
    [
        # 100 animals: Hilsenhoff 1988, at second hand; 30: our own choice
        (100, Standing.RATED, True, ()),
        (99, Standing.PROVISIONAL, True, ("99 animals; 100 wanted",)),
        (30, Standing.PROVISIONAL, True, ("30 animals; 100 wanted",)),
        (29, Standing.TOO_FEW, False, ("29 animals; 100 wanted",)),
        (1, Standing.TOO_FEW, False, ("1 animal; 100 wanted",)),
    ],
)
def test_standing_by_number_of_animals(number, standing, may_rate, reasons):
    trust = trust_in(number, number, LINES, DEFINITION)
    assert (trust.standing, trust.may_rate, trust.reasons) == (standing, may_rate, reasons)


def test_an_open_upper_number_is_never_surely_too_few():
    assert trust_in(3, None, LINES, DEFINITION).standing is Standing.PROVISIONAL


def test_a_single_order_does_not_lift_too_few():
    trust = trust_in(5, 5, scorable(counted(Baetidae=5)), DEFINITION)
    assert (trust.standing, trust.may_rate) == (Standing.TOO_FEW, False)


def test_a_catch_that_can_be_scored_is_not_refused():
    assert unscored(CLASS_VISIT, DEFINITION, LINES, when_empty=None) is None


def test_looked_for_and_not_found_is_an_empty_net():
    assert unscored(counted(Baetidae=0), DEFINITION, (), when_empty=None).standing is Standing.EMPTY


def test_animals_that_cannot_be_used_are_not_an_empty_net():
    assert unscored(counted(Gerridae=2), DEFINITION, (), when_empty=0.0).standing is Standing.MISSING
