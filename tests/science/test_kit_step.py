"""One step of a kit at a reading. The scales are common practice of the trade, the steps follow by hand."""

import pytest

from service.science.kit_step import finest_difference, step_at
from service.science.types import Kit
from tests.science import kits

ONE_MARK = Kit("one", "one mark", "comparator", "ph", "std units", 7, 7, marks=(7.0,))


@pytest.mark.parametrize(
    ("kit", "value", "unit", "step"),
    [
        (kits.OXYGEN_METER, 8.3, "mg/L", 0.1),
        (kits.THERMOMETER_F, 20.0, "degC", 5 / 9),  # 1 degF apart, wherever on the scale
        (kits.PH_WHOLE, 7, "std units", 1),
        (kits.NITRATE_CARD, 0.25, "mg/L as N", 0.25),
        (kits.NITRATE_CARD, 2, "mg/L as N", 1),  # 1 is nearer than 4
        (kits.NITRATE_CARD, 10, "mg/L as N", 2),
        (kits.NITRATE_CARD, 3, "mg/L as N", 2),  # written between 2 and 4
        (kits.NITRATE_TABLETS, 20 / 4.426644, "mg/L as N", 15 / 4.426644),  # marks 5 and 20 mg/L as NO3
        (ONE_MARK, 7, "std units", None),
    ],
)
def test_step_at_a_reading(kit, value, unit, step):
    assert step_at(kit, value, unit) == (None if step is None else pytest.approx(step, rel=1e-6))


@pytest.mark.parametrize(("lower", "higher"), [(0.25, 0.5), (0.5, 1), (1, 2), (2, 4), (4, 6), (8, 10)])
def test_two_neighbouring_marks_are_one_step_apart(lower, higher):
    steps = [step_at(kits.NITRATE_CARD, value, "mg/L as N") for value in (lower, higher)]
    assert max(steps) == pytest.approx(higher - lower)


@pytest.mark.parametrize(
    ("known", "finest"),
    [
        ([kits.OXYGEN_METER, kits.OXYGEN_TITRATOR], 0.3),  # the meter steps by 0.1 and is good to 0.3
        ([kits.OXYGEN_TITRATOR, kits.OXYGEN_DROPS], 0.4),
        ([kits.OXYGEN_DROPS], 0.5),
        ([], None),
    ],
)
def test_what_the_finest_kit_could_tell_apart(known, finest):
    assert finest_difference(known, 8.0, "mg/L") == finest


def test_a_step_carries_no_noise():
    narrow = Kit("n", "n", "comparator", "ph", "std units", 6, 8.4, marks=(6.0, 6.2, 6.4, 6.6))
    assert step_at(narrow, 6.4, "std units") == 0.2  # 6.4 - 6.2 is 0.20000000000000018 in binary
