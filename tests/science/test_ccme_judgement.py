import numpy as np
import pytest

from service.science.ccme_judgement import Judgement, Outcome, excursions, judge
from tests.science.ccme_series import criterion, example, number, said
from tests.science.check_table import rows

MET, FAILED, UNDECIDED = Outcome.MET, Outcome.FAILED, Outcome.UNDECIDED


def test_every_test_of_the_worked_example():
    expected = [
        (row["parameter"], row["outcome"], float(row["excursion"]))
        for row in rows("ccme_example")
        if row["value"]
    ]
    judged = [
        (variable.objective.parameter, judgement.outcome.value, pytest.approx(judgement.excursion, abs=1e-9))
        for variable in example()
        for judgement in map(judge, variable.observations)
    ]
    assert len(expected) == 35
    assert judged == expected


@pytest.mark.parametrize(
    ("text", "at_least", "at_most", "expected"),
    [
        # CCME 2001: equal to the objective is met, on either side
        ("5", 5, None, Judgement(MET)),
        ("9", 6.5, 9, Judgement(MET)),
        ("6.5", 6.5, 9, Judgement(MET)),
        ("9.1", None, 9, Judgement(FAILED, 9.1 / 9 - 1)),
        ("4.9", 5, None, Judgement(FAILED, 5 / 4.9 - 1)),
        # a limit decides where all that it leaves open lies on one side (order alone)
        ("<1", None, 1, Judgement(MET)),
        ("<2", None, 1, Judgement(UNDECIDED)),
        ("<4", 5, None, Judgement(FAILED, 0.25, at_least=True)),
        ("<5", 5, None, Judgement(FAILED, 0.0, at_least=True)),
        ("<6", 5, None, Judgement(UNDECIDED)),
        (">30", 30, None, Judgement(MET)),
        (">29", 30, None, Judgement(UNDECIDED)),
        (">2419.6", None, 410, Judgement(FAILED, 2419.6 / 410 - 1, at_least=True)),
        (">410", None, 410, Judgement(FAILED, 0.0, at_least=True)),
        (">400", None, 410, Judgement(UNDECIDED)),
        # two-sided: both ends must be kept
        ("<7", 6.5, 9, Judgement(UNDECIDED)),
        (">7", 6.5, 9, Judgement(UNDECIDED)),
        ("<6", 6.5, 9, Judgement(FAILED, 6.5 / 6 - 1, at_least=True)),
        (">10", 6.5, 9, Judgement(FAILED, 10 / 9 - 1, at_least=True)),
    ],
)
def test_one_test(text, at_least, at_most, expected):
    found = judge(said(text, criterion(at_least=at_least, at_most=at_most)))
    assert (found.outcome, found.at_least, found.half_step) == (expected.outcome, expected.at_least, False)
    assert found.excursion == pytest.approx(expected.excursion)


def test_half_a_step_stands_in_for_a_zero_and_is_marked():
    # our own rule: the method has none for a division by 0. Step 0.1: 6.5 / 0.05 - 1 = 129
    found = judge(said("0", criterion(at_least=6.5), step=0.1))
    assert found == Judgement(FAILED, pytest.approx(129.0), at_least=False, half_step=True)


def test_a_zero_without_a_step_fails_by_an_unknown_amount():
    assert judge(said("0", criterion(at_least=6.5))) == Judgement(FAILED, 0.0, at_least=True)


def test_a_frozen_stream_against_a_lower_limit_does_not_turn_the_sign():
    found = judge(number(-0.5, criterion("water_temperature", at_least=4), step=0.5))
    assert found == Judgement(FAILED, pytest.approx(4 / 0.25 - 1), half_step=True)


def test_zero_against_an_upper_limit_is_met():
    assert judge(said("0", criterion(at_most=1), step=0.1)) == Judgement(MET)


@pytest.mark.parametrize("limits", [{"at_most": 0}, {"at_least": 0}, {"at_least": -5, "at_most": 20}])
def test_an_objective_that_nothing_can_be_divided_by_is_refused(limits):
    with pytest.raises(ValueError, match="not above 0"):
        judge(said("7", criterion(**limits)))


def test_many_draws_at_once_are_what_each_is_alone():
    observations = [number(1, criterion(at_least=5, at_most=9), step=1), number(1, criterion(at_most=3))]
    failed, amounts = excursions(np.array([[4.0, 3.0], [0.0, 6.0], [12.0, 0.5]]), observations)
    assert failed.tolist() == [[True, False], [True, True], [True, False]]
    assert amounts == pytest.approx(np.array([[0.25, 0.0], [9.0, 1.0], [1 / 3, 0.0]]))
