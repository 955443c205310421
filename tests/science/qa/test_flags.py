import pytest

from service.science.flags import Flag, roll_up


@pytest.mark.parametrize(
    ("flags", "expected"),
    [
        # by hand from the order 4, 3, 1, 2, 9; ioos_qc 3.0.0, qartod_compare, gives the same
        ((1, 2, 3), 3),
        ((2, 2, 9), 2),
        ((9, 1, 2), 1),
        ((4, 9, 3), 4),
        ((9, 9, 9), 9),
        ((1, 4), 4),
    ],
)
def test_the_worst_flag_stands_and_a_pass_outranks_not_evaluated(flags, expected):
    assert roll_up(Flag(flag) for flag in flags) is Flag(expected)


def test_no_flag_at_all_is_not_evaluated():
    assert roll_up([]) is Flag.NOT_EVALUATED


@pytest.mark.parametrize(
    ("name", "number"), [("PASS", 1), ("NOT_EVALUATED", 2), ("SUSPECT", 3), ("FAIL", 4), ("MISSING", 9)]
)
def test_numbers_of_the_scheme(name, number):
    # IODE Manuals and Guides 54 vol. 3 (2013); NERC Vocabulary Server, collection L34
    assert Flag[name] == number
