from dataclasses import replace

import numpy as np
import pytest

from service.science.criterion import Criterion
from service.science.criterion_comparison import compare, limit_by_formula, met_in_draws
from tests.science.kits import (
    ALKALINITY_DROPS,
    OXYGEN_DROPS,
    OXYGEN_TABLETS,
    PH_WHOLE,
    PLATE_1ML,
    THERMOMETER,
    read,
)


def read_ammonia(value, censored=None):
    # Read without a kit, as N, like nitrate.
    return replace(read("nitrate", value, censored=censored), parameter="ammonia")


SALMONIDS, NO_SALMONIDS = "ammonia-acute-2013-salmonids", "ammonia-acute-2013-no-salmonids"


def asks(parameter, unit, at_least=None, at_most=None, formula=None):
    return Criterion("asked", "Asked", parameter, unit, at_least, at_most, "a test", formula)


OXYGEN_5 = asks("dissolved_oxygen", "mg/L", at_least=5.0)
PH = asks("ph", "std units", 6.5, 9.0)
TUBE_30, TUBE_90 = (asks("transparency", "cm", at_least=depth_cm) for depth_cm in (30.0, 90.0))
BATHING = asks("e_coli", "MPN/100 mL", at_most=235.0)
COUNT_410 = asks("e_coli", "MPN/100 mL", at_most=410.0)
ALKALINE = asks("alkalinity", "mg/L as CaCO3", at_least=20.0)
WARMTH = asks("water_temperature", "degC", at_most=20.0)
AMMONIA = asks("ammonia", "mg/L as N", formula=SALMONIDS)


@pytest.mark.parametrize(
    ("criterion", "reading", "meets", "certain"),
    [
        # Equal to the limit meets it: "at least" and "at most", as criteria are worded.
        (OXYGEN_5, read("dissolved_oxygen", 5.0), True, True),
        (OXYGEN_5, read("dissolved_oxygen", 4.9), False, True),
        (WARMTH, read("water_temperature", 68.0, "degF"), True, True),
        (WARMTH, read("water_temperature", 68.2, "degF"), False, True),
        (PH, read("ph", 6.5), True, True),
        (PH, read("ph", 9.0), True, True),
        (PH, read("ph", 6.4), False, True),
        (PH, read("ph", 9.1), False, True),
        # Half a step to either side: a whole interval decides, one that reaches across does not.
        (OXYGEN_5, read("dissolved_oxygen", 5.5, kit=OXYGEN_DROPS), True, True),
        (OXYGEN_5, read("dissolved_oxygen", 5.0, kit=OXYGEN_DROPS), True, False),
        (OXYGEN_5, read("dissolved_oxygen", 4.5, kit=OXYGEN_DROPS), False, True),
        (OXYGEN_5, read("dissolved_oxygen", 4.0, "mg/L", OXYGEN_TABLETS), False, False),
        (PH, read("ph", 7, kit=PH_WHOLE), True, True),
        (PH, read("ph", 6, kit=PH_WHOLE), False, True),
        (PH, read("ph", 9, kit=PH_WHOLE), True, False),
        (PH, read("ph", 10, kit=PH_WHOLE), False, True),
        # An interval that only touches the limit from beyond, 9 to 10 and 4 to 5, has no chance to meet it.
        (PH, read("ph", 9.5, kit=PH_WHOLE), False, True),
        (OXYGEN_5, replace(read("dissolved_oxygen", 4.5), low=4.0, high=5.0), False, True),
        (OXYGEN_5, replace(read("dissolved_oxygen", 4.5), low=4.0, high=5.01), False, False),
        (WARMTH, read("water_temperature", 20.0, kit=THERMOMETER), True, False),
        # A tube that is seen through to its end (rule of the CCME index as this project reads it).
        (TUBE_30, read("transparency", 60, censored=">"), True, True),
        (TUBE_90, read("transparency", 60, censored=">"), None, False),
        (TUBE_30, read("transparency", 5, censored="<"), False, True),
        # Counts: more than 2419.6 is above 410, less than 500 against 410 is open.
        (COUNT_410, read("e_coli", 2419.6, censored=">"), False, True),
        (COUNT_410, read("e_coli", 500, censored="<"), None, False),
        (COUNT_410, read("e_coli", 410, censored="<"), True, True),
        (COUNT_410, read("e_coli", 410, censored=">"), False, True),
        (COUNT_410, read("e_coli", 400, censored=">"), None, False),
        (BATHING, read("e_coli", 0, "CFU/100 mL", PLATE_1ML), True, True),
        # The limit itself is not in "less than": what lies below 20 is not at least 20.
        (ALKALINE, read("alkalinity", 20, censored="<"), False, True),
        (ALKALINE, read("alkalinity", 0, kit=ALKALINITY_DROPS), False, True),
        (ALKALINE, read("alkalinity", 20, censored=">"), True, True),
        (ALKALINE, read("alkalinity", 25, censored="<"), None, False),
        # Both limits at once.
        (PH, read("ph", 6.5, censored="<"), False, True),
        (PH, read("ph", 9.0, censored=">"), False, True),
        (PH, read("ph", 8.0, censored="<"), None, False),
        (PH, read("ph", 8.0, censored=">"), None, False),
    ],
)
def test_a_reading_against_a_criterion(criterion, reading, meets, certain):
    found = compare(criterion, reading)
    assert (found.meets, found.certain) == (meets, certain)


@pytest.mark.parametrize(
    ("formula", "ph", "temperature_c", "expected"),
    [
        # EPA 822-R-13-001 (2013) prints 17 at pH 7 and 20 degC; the other digits were worked out from its
        # formula apart from this code.
        (SALMONIDS, 7.0, 20.0, 16.76025),
        (NO_SALMONIDS, 7.0, 20.0, 16.76025),
        (SALMONIDS, 7.0, 5.0, 24.10324),
        (NO_SALMONIDS, 7.0, 5.0, 37.64531),
        (SALMONIDS, 8.5, 15.0, 2.13950),
        (NO_SALMONIDS, 8.5, 15.0, 2.25151),
    ],
)
def test_the_limit_of_ammonia_follows_ph_and_warmth(formula, ph, temperature_c, expected):
    assert limit_by_formula(formula, ph, temperature_c) == pytest.approx(expected, abs=1e-4)
    ammonia = read_ammonia(expected - 0.01)
    criterion = asks("ammonia", "mg/L as N", formula=formula)
    found = compare(criterion, ammonia, (read("ph", ph), read("water_temperature", temperature_c)))
    assert (found.meets, found.at_most) == (True, pytest.approx(expected, abs=1e-4))
    over = compare(criterion, read_ammonia(expected + 0.01), found.beside)
    assert over.meets is False


WATER = read("water_temperature", 20.0)
PH_8_CARD = read("ph", 8, kit=PH_WHOLE)  # 7.5 to 8.5


@pytest.mark.parametrize(
    ("ammonia", "meets", "certain"),
    [
        # At 20 degC with trout the limit is 9.236 mg/L at pH 7.5, 3.904 at pH 8 and 1.488 at pH 8.5 (worked
        # out from the formula of EPA 822-R-13-001 apart from this code).
        (read_ammonia(1.4), True, True),
        (read_ammonia(3.0), True, False),
        (read_ammonia(6.0), False, False),
        (read_ammonia(9.3), False, True),
        (read_ammonia(1.4, "<"), True, True),
        (read_ammonia(3.0, "<"), None, False),
        (read_ammonia(6.0, ">"), None, False),
        (read_ammonia(9.3, ">"), False, True),
    ],
)
def test_the_doubt_of_ph_is_the_doubt_of_the_limit(ammonia, meets, certain):
    found = compare(AMMONIA, ammonia, (PH_8_CARD, WATER))
    assert (found.meets, found.certain) == (meets, certain)


def test_an_interval_that_leaves_the_formula_stops_at_its_end_and_a_value_outside_has_no_limit():
    ph_7, nearly_frozen = read("ph", 7, kit=PH_WHOLE), read("water_temperature", 0.0, kit=THERMOMETER)
    across = (replace(ph_7, low=6.0), nearly_frozen)
    assert compare(AMMONIA, read_ammonia(1.0), across).certain
    with pytest.raises(ValueError, match="outside"):
        compare(AMMONIA, read_ammonia(1.0), (read("ph", 6.4), WATER))


def test_each_draw_is_judged_by_the_limit_of_its_own_ph():
    found = compare(AMMONIA, read_ammonia(3.0), (PH_8_CARD, WATER))
    drawn = {"ammonia": [3.0, 3.0, 3.0], "ph": [7.5, 8.0, 8.5], "water_temperature": [20.0, 20.0, 20.0]}
    met = met_in_draws(found, lambda reading: np.array(drawn[reading.parameter]))
    assert met.tolist() == [True, True, False]


def test_a_draw_equal_to_the_limit_meets_it():
    found = compare(PH, PH_8_CARD)
    assert met_in_draws(found, lambda _: np.array([6.49, 6.5, 9.0, 9.01])).tolist() == [
        False,
        True,
        True,
        False,
    ]
