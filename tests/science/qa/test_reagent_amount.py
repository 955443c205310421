from dataclasses import replace

import pytest

from service.science.qa.checks import reagent_amount
from tests.science.kits import PH_WHOLE, read
from tests.science.qa.limits import limits_for
from tests.science.qa.visits import visit_with

LIMITS = limits_for("reagent-amount", "ph")
ONE_TO_10 = replace(PH_WHOLE, tablets=1, sample_ml=10.0)
TWO = replace(PH_WHOLE, tablets=2)
ML_5 = replace(PH_WHOLE, sample_ml=5.0)


def finding(kit, **procedure):
    reading = read("ph", 7, kit=kit, procedure=procedure)
    return reagent_amount.run(reading, visit_with(reading), LIMITS)


@pytest.mark.parametrize(
    ("kit", "tablets", "sample_ml", "flag"),
    [
        # one tablet to 10 mL, two in the oxygen tube: common practice of the trade; +- 10 % of the water: own
        (ONE_TO_10, 1, 10.0, 1),
        (ONE_TO_10, 2, 10.0, 3),
        (ONE_TO_10, 0, 10.0, 3),
        (ONE_TO_10, 1, 5.0, 3),
        (ONE_TO_10, 1, 9.0, 1),
        (ONE_TO_10, 1, 8.9, 3),
        (ONE_TO_10, 1, 11.0, 1),
        (ONE_TO_10, 1, 11.1, 3),
        (ONE_TO_10, 2, None, 3),
        (ONE_TO_10, None, 20.0, 3),
        (ONE_TO_10, 1, None, 2),
        (ONE_TO_10, None, 10.0, 2),
        (ONE_TO_10, None, None, 2),
        (TWO, 2, None, 1),
        (TWO, 1, None, 3),
        (TWO, 2, 99.0, 1),
        (ML_5, None, 5.0, 1),
        (ML_5, None, 10.0, 3),
        (ML_5, 3, 5.0, 1),
        (ML_5, 3, None, 2),
    ],
)
def test_amounts(kit, tablets, sample_ml, flag):
    noted = {"tablets": tablets, "sample_ml": sample_ml}
    found = finding(kit, **{name: amount for name, amount in noted.items() if amount is not None})
    assert found.flag == flag


@pytest.mark.parametrize(
    ("kit", "procedure", "message"),
    [
        (
            ONE_TO_10,
            {"tablets": 2, "sample_ml": 5.0},
            "You took 2 tablets and 5 mL of water; this kit wants one tablet to 10 mL of water.",
        ),
        (TWO, {"tablets": 1}, "You took one tablet; this kit wants 2 tablets."),
        (ML_5, {"sample_ml": 10.0}, "You took 10 mL of water; this kit wants 5 mL of water."),
    ],
)
def test_the_message_tells_the_right_amount(kit, procedure, message):
    assert finding(kit, **procedure).message == message


def test_not_noted_stays_quiet():
    assert finding(ONE_TO_10).advice == ""


@pytest.mark.parametrize("kit", [None, PH_WHOLE])
def test_a_kit_that_counts_neither_is_not_asked(kit):
    assert finding(kit, tablets=9, sample_ml=99.0) is None
