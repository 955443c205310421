from dataclasses import replace

import pytest

from service.science.scores.criteria_met import INDEX
from service.science.scores.index import Standing
from tests.science.kits import (
    OXYGEN_DROPS,
    OXYGEN_TABLETS,
    PH_HALF,
    PH_WHOLE,
    PLATE_1ML,
    THERMOMETER,
    TUBE_60,
    read,
)
from tests.science.scores.definitions import DEFINITIONS
from tests.science.scores.measured import measured, shipped_criteria

MEETS, MISSES = "meets every value", "does not meet a value"


def score(*readings, seed=1, **more):
    return INDEX.score(measured(*readings, **more), DEFINITIONS["criteria-met"], seed)


def water(value=12.0):
    return read("water_temperature", value, kit=THERMOMETER)


def drops(value):
    return read("dissolved_oxygen", value, kit=OXYGEN_DROPS)


def card(value):
    return read("ph", value, kit=PH_HALF)


def ammonia(value):
    return replace(read("nitrate", value), parameter="ammonia", low=value - 0.25, high=value + 0.25)


@pytest.mark.parametrize(
    ("readings", "water_class", "value", "band"),
    [
        # Limits: 5 mg/L warm, 8 mg/L cold (US EPA 440/5-86-003, 1-day minimum), 32 and 20 degC (common
        # practice), pH 6.5 to 9 (US EPA 440/5-86-001). The shares by hand.
        ([drops(6.0), water(), card(7.5)], "warm", 100.0, MEETS),
        ([drops(6.0), water(), card(7.5)], "cold", 67.0, MISSES),
        ([drops(6.0), water(24.0), card(7.5)], "cold", 33.0, MISSES),
        ([drops(4.0), water(34.0), card(5.0)], "warm", 0.0, MISSES),
        ([drops(4.0), water(24.0)], "warm", 50.0, MISSES),
        ([card(7.5), read("turbidity", 80.0)], None, 100.0, MEETS),
    ],
)
def test_the_share_of_the_criteria_that_were_met(readings, water_class, value, band):
    found = score(*readings, water_class=water_class)
    assert (found.value, found.band, found.standing) == (value, band, Standing.RATED)
    assert (found.low, found.high, found.bands) == (value, value, {band: 1.0})


def test_what_has_no_criterion_has_no_score():
    assert score(read("turbidity", 80.0), read("transparency", 12, kit=TUBE_60)) is None
    assert score() is None


def test_a_value_that_is_not_met_is_told_with_numbers_units_and_the_interval_of_the_kit():
    found = score(drops(4.0), card(7.5))
    told = "dissolved oxygen 4 mg/L: the criterion is at least 5 mg/L; the kit's interval 3.75 to 4.25 mg/L"
    assert found.reasons[0] == told
    assert "one visit cannot tell" in found.reasons[-1]
    assert found.inputs == ("dissolved-oxygen-warm: at least 5 mg/L", "ph: 6.5 to 9")


def test_no_word_accuses_a_stream_of_breaking_a_rule():
    readings = drops(4.0), water(34.0), card(5.0), read("e_coli", 900, kit=PLATE_1ML), ammonia(60.0)
    found = score(*readings)
    said = " ".join([*found.reasons, *found.inputs, str(found.band)])
    assert [word for word in ("violat", "exceed", "illegal", "breach", "fail") if word in said.lower()] == []


def test_a_kit_that_reaches_across_a_limit_cannot_tell_and_the_score_is_provisional():
    # 6 mg/L meets 5, but a quarter of 4 to 8 lies below it.
    tablets = replace(read("dissolved_oxygen", 6.0), kit=OXYGEN_TABLETS, low=4.0, high=8.0)
    found = score(tablets, card(7.5))
    assert (found.value, found.band, found.standing) == (100.0, MEETS, Standing.PROVISIONAL)
    assert (found.low, found.high) == (50.0, 100.0)
    # 1000 draws: four times the standard deviation of a share of a quarter is 0.055 (binomial distribution)
    assert found.bands[MISSES] == pytest.approx(0.25, abs=0.055)
    assert sum(found.bands.values()) == pytest.approx(1.0)
    (told,) = found.reasons
    assert "4 to 8 mg/L, so this kit cannot tell" in told
    missed = score(replace(tablets, value=4.5), card(7.5))
    assert (missed.value, missed.standing) == (50.0, Standing.PROVISIONAL)
    assert "4 to 8 mg/L, so this kit cannot tell" in missed.reasons[0]


def test_chances_of_two_kits_multiply():
    # half of 4 to 6 mg/L is at least 5, half of pH 8.5 to 9.5 at most 9
    half_oxygen = replace(read("dissolved_oxygen", 5.0), low=4.0, high=6.0)
    half_ph = read("ph", 9, kit=PH_WHOLE)
    found = score(half_oxygen, half_ph)
    # both met with the chance 1/4; four standard deviations are 0.055 (binomial distribution)
    assert found.bands[MEETS] == pytest.approx(0.25, abs=0.055)
    assert (found.low, found.high) == (0.0, 100.0)


def test_the_same_visit_always_gets_the_same_numbers_and_another_seed_others():
    readings = replace(read("dissolved_oxygen", 5.0), low=4.0, high=6.0), card(7.5)
    assert score(*readings, seed=7) == score(*readings, seed=7)
    assert score(*readings, seed=7).bands != score(*readings, seed=8).bands


@pytest.mark.parametrize(
    ("undecided", "told"),
    [
        (read("e_coli", 500, censored="<"), "E. coli less than 500 MPN/100 mL: the criterion is at most 235"),
        (read("e_coli", 200, censored=">"), "E. coli more than 200 MPN/100 mL: the criterion is at most 235"),
    ],
)
def test_a_limit_that_does_not_decide_is_left_out_and_said(undecided, told):
    found = score(card(7.5), undecided)
    assert (found.value, found.standing, found.inputs) == (100.0, Standing.RATED, ("ph: 6.5 to 9",))
    assert found.reasons[0].startswith(told)
    assert "left out" in found.reasons[0]
    alone = score(undecided)
    assert (alone.value, alone.band, alone.standing) == (None, None, Standing.MISSING)
    assert alone.reasons == found.reasons


def test_a_limit_that_decides_counts():
    found = score(card(7.5), read("e_coli", 0, "CFU/100 mL", PLATE_1ML))
    assert (found.value, len(found.inputs)) == (100.0, 2)


def test_a_doubted_reading_makes_the_score_provisional_and_a_repeat_that_is_not_in_doubt_goes_first():
    doubted = score(drops(4.0), card(7.5), doubted=(0,))
    assert (doubted.value, doubted.standing) == (50.0, Standing.PROVISIONAL)
    assert "a check is in doubt about the dissolved oxygen" in doubted.reasons
    repeated = score(drops(4.0), card(7.5), drops(6.0), doubted=(0,))
    assert (repeated.value, repeated.standing) == (100.0, Standing.RATED)


def test_of_repeats_the_first_counts():
    assert score(drops(6.0), drops(4.0)).value == 100.0
    assert score(drops(4.0), drops(6.0)).value == 0.0


def test_without_a_kit_nobody_can_tell_the_doubt():
    found = score(read("dissolved_oxygen", 6.0), card(7.5))
    assert (found.value, found.low, found.high, found.bands) == (100.0, None, None, {})
    told = "dissolved oxygen: no kit was named, so nobody can tell how far off the number may be"
    assert found.reasons == (told,)


def test_a_site_without_water_class_gets_what_is_for_every_stream_and_is_told_why():
    found = score(drops(4.0), water(34.0), card(7.5), water_class=None)
    assert (found.value, found.inputs) == (100.0, ("ph: 6.5 to 9",))
    (told,) = found.reasons
    assert told.startswith("dissolved oxygen, water temperature: left out, as the site's water class is not")
    own = replace(shipped_criteria("warm")[0], code="our-oxygen")
    (told,) = score(drops(6.0), water(34.0), water_class=None, criteria=(own,)).reasons
    assert told.startswith("water temperature: left out")
    alone = score(drops(4.0), water_class=None)
    assert (alone.standing, alone.value) == (Standing.MISSING, None)
    assert "water class is not known" in alone.reasons[0]


def test_the_parameters_of_a_water_class_are_those_of_the_shipped_criteria():
    every = {criterion.parameter for criterion in shipped_criteria(None)}
    of_a_class = {criterion.parameter for criterion in shipped_criteria("cold")} - every
    found = score(
        *(replace(card(7.5), parameter=parameter) for parameter in sorted(of_a_class)), water_class=None
    )
    assert found.reasons[0].startswith("dissolved oxygen, water temperature, ammonia: left out")
    assert len(of_a_class) == 3


@pytest.mark.parametrize(
    ("water_class", "value", "asked"),
    [
        # pH 7 in water of 5 degC: 24.103 mg/L with trout, 37.645 without (US EPA 822-R-13-001, worked out
        # from the formula apart from this code).
        ("cold", 67.0, "ammonia-cold: at most 24.103 mg/L as N at this pH and water temperature"),
        ("warm", 100.0, "ammonia-warm: at most 37.645 mg/L as N at this pH and water temperature"),
    ],
)
def test_ammonia_is_judged_by_the_limit_at_the_ph_and_temperature_of_the_visit(water_class, value, asked):
    exact = (replace(read(name, number), low=number - 1e-6, high=number + 1e-6)
             for name, number in (("ph", 7.0), ("water_temperature", 5.0)))  # fmt: skip
    found = score(*exact, ammonia(30.0), water_class=water_class)
    assert (found.value, found.standing) == (value, Standing.RATED)
    assert asked in found.inputs


@pytest.mark.parametrize(
    ("beside", "told"),
    [
        ([card(7.5)], "needs pH and water temperature as numbers"),
        ([water(), read("ph", 7, censored=">")], "needs pH and water temperature as numbers"),
        ([water(), card(6.0)], "pH 6 std units is outside 6.5 to 9"),
        ([water(31.0), card(7.5)], "water temperature 31 degC is outside 0 to 30"),
    ],
)
def test_ammonia_is_left_out_where_its_limit_cannot_be_worked_out(beside, told):
    found = score(ammonia(1.0), *beside)
    assert not any(line.startswith("ammonia") for line in found.inputs)
    assert any(reason.startswith("ammonia: left out") and told in reason for reason in found.reasons)


def test_a_doubted_ph_puts_the_limit_of_ammonia_in_doubt():
    own = tuple(criterion for criterion in shipped_criteria("warm") if criterion.parameter == "ammonia")
    found = score(ammonia(1.0), water(), card(7.5), doubted=(2,), criteria=own)
    assert found.standing is Standing.PROVISIONAL
