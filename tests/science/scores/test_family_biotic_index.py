from dataclasses import replace
from decimal import Decimal

import pytest

from service.science.scores.family_biotic_index import CORE, EXTENDED, note_disagreement
from service.science.scores.index import Standing
from tests.science.scores.catches import (
    CLASS_VISIT,
    FAMILIES_OF_THE_CLASS_VISIT,
    TAXA,
    animals,
    counted,
    lettered,
    valued,
)
from tests.science.scores.definitions import DEFINITIONS

# Formula and bands: Hilsenhoff 1988 (J. N. Am. Benthol. Soc. 7:65-68), bands from memory; sums by hand.


def core(catch, seed=1):
    return CORE.score(catch, DEFINITIONS[CORE.id], seed)


def extended(catch, seed=1):
    return EXTENDED.score(catch, DEFINITIONS[EXTENDED.id], seed)


def of_200_animals(total):
    """200 animals whose tolerances add up to a total, of two orders."""
    lower, upper = divmod(total, 200)
    return counted(
        animals(valued(str(lower)), 199 - upper),
        animals(valued(str(lower), "Odonata"), 1),
        animals(valued(str(lower + 1)), upper),
    )


def test_a_class_visit_by_its_arthropods():
    # 696 / 161
    score = core(CLASS_VISIT)
    assert (score.value, score.band, score.standing) == (4.32, "good", Standing.RATED)


def test_a_class_visit_by_all_its_animals():
    # 852 / 181
    score = extended(CLASS_VISIT)
    assert (score.value, score.band, score.standing) == (4.71, "good", Standing.RATED)


@pytest.mark.parametrize(("tolerance", "value"), [("5", 4.57), ("10", 4.80)])
def test_a_class_visit_with_another_value_for_worms(tolerance, value):
    # 828 / 181 and 868 / 181
    worm = replace(TAXA["Oligochaeta"], tolerance=Decimal(tolerance))
    rest = {name: n for name, n in FAMILIES_OF_THE_CLASS_VISIT.items() if name != "Oligochaeta"}
    score = extended(counted(animals(worm, 8), **rest))
    assert (score.value, score.band) == (value, "good")


@pytest.mark.parametrize(
    ("total", "value", "band"),
    [
        # exactly half a hundredth above the bound: rounded half up, so in the worse band
        (751, 3.76, "very good"),
        (851, 4.26, "good"),
        (1001, 5.01, "fair"),
        (1151, 5.76, "fairly poor"),
        (1301, 6.51, "poor"),
        (1451, 7.26, "very poor"),
        # on the bound
        (750, 3.75, "excellent"),
        (850, 4.25, "very good"),
        (1000, 5.0, "good"),
        (1150, 5.75, "fair"),
        (1300, 6.5, "fairly poor"),
        (1450, 7.25, "poor"),
        # the 1987 index of genera and species would call 3.60 very good
        (720, 3.6, "excellent"),
        (0, 0.0, "excellent"),
        (1999, 10.0, "very poor"),
    ],
)
def test_edges_of_the_bands(total, value, band):
    score = extended(of_200_animals(total))
    assert (score.value, score.band) == (value, band)


BAD_WATER = counted(Chironomidae=6, Baetidae=2, Oligochaeta=140, Physidae=20)


def test_bad_water_looks_better_by_the_few_arthropods_left():
    # 44 / 8, from 8 animals: a number, and no word for it
    score = core(BAD_WATER)
    assert (score.value, score.band, score.standing) == (5.5, None, Standing.TOO_FEW)
    assert "8 animals; 100 wanted" in score.reasons
    assert score.bands == {}


def test_bad_water_by_all_animals():
    # 1324 / 168
    score = extended(BAD_WATER)
    assert (score.value, score.band, score.standing) == (7.88, "very poor", Standing.RATED)


def test_animals_without_a_value_are_in_neither_sum():
    with_unvalued = counted(Perlidae=60, Baetidae=60, Ephemeroptera=10, Ametropodidae=3)
    assert extended(with_unvalued).value == 2.5
    assert "13 of 133 animals left out: no tolerance value" in extended(with_unvalued).reasons


@pytest.mark.parametrize(("unvalued", "is_said"), [(20, False), (21, True)])
def test_more_than_a_tenth_without_a_value_is_said(unvalued, is_said):
    # 20 of 200 is a tenth
    score = extended(counted(Perlidae=90, Chironomidae=110 - unvalued, Ephemeroptera=unvalued))
    assert any(reason.startswith("more than 10 % of the animals") for reason in score.reasons) is is_said


def test_animals_outside_the_scope_are_said_apart_from_those_without_a_value():
    reasons = core(CLASS_VISIT).reasons
    assert "5 of 186 animals left out: no tolerance value" in reasons
    assert "20 of 186 animals left out: not among the animals of this index" in reasons


def test_letters_are_no_counts():
    score = core(lettered([(TAXA["Baetidae"], "C"), (TAXA["Perlidae"], "R")]))
    assert (score.value, score.band, score.standing) == (None, None, Standing.MISSING)
    assert score.reasons == ("needs counts",)


def test_an_empty_net_has_no_mean_tolerance():
    score = extended(counted(Baetidae=0))
    assert (score.value, score.band, score.standing) == (None, None, Standing.EMPTY)


def test_animals_of_which_none_has_a_value_give_no_score():
    score = extended(counted(Ephemeroptera=40, Gerridae=3))
    assert (score.value, score.standing) == (None, Standing.MISSING)


def test_a_catch_of_mayflies_alone_gets_no_word_for_the_stream():
    score = extended(counted(Baetidae=80, Heptageniidae=60))
    assert (score.value, score.band, score.bands) == (4.0, None, {})
    assert score.standing is Standing.PROVISIONAL
    assert any(reason.startswith("only Ephemeroptera in the catch") for reason in score.reasons)


def test_arthropods_of_one_order_beside_other_animals_are_rated():
    # the worms show that the class looked at everything
    assert core(counted(Chironomidae=120, Oligochaeta=30)).band == "fairly poor"


def test_range_and_chances_of_a_class_visit():
    # standard error of the mean tolerance of 181 animals is 0.13, so the middle 90 % is 4.71 +- 0.21
    score = extended(CLASS_VISIT)
    assert score.low == pytest.approx(4.49, abs=0.03)
    assert score.high == pytest.approx(4.92, abs=0.03)
    assert sum(score.bands.values()) == pytest.approx(1.0)
    assert score.bands["good"] > 0.95


def test_animals_of_one_tolerance_alone_are_no_certainty():
    # half an animal more, of anything from 0 to 10, moves the mean of 40 by up to 0.5 x 6 / 40.5 = 0.07
    score = extended(counted(Baetidae=20, Limnephilidae=20))
    assert score.low < score.value == 4.0 < score.high
    assert score.high - score.low == pytest.approx(0.15, abs=0.05)
    assert score.reasons == ("40 animals; 100 wanted",)


def test_a_range_without_width_is_not_passed_off_as_certainty():
    score = extended(counted(Baetidae=20_000, Limnephilidae=20_000))
    assert score.low == score.high == score.value == 4.0
    assert any("all count the same" in reason for reason in score.reasons)


def test_the_range_of_clean_animals_ends_at_zero():
    score = extended(counted(Glossosomatidae=40, Corydalus=40))
    assert (score.value, score.low) == (0.0, 0.0)
    assert score.high > 0.0


@pytest.mark.parametrize(
    ("core_band", "extended_band", "noted"),
    [("fair", "very poor", True), ("good", "good", False), (None, "good", False), ("good", None, False)],
)
def test_two_scopes_that_disagree_are_marked(core_band, extended_band, noted):
    scores = (replace(core(CLASS_VISIT), band=core_band), replace(extended(CLASS_VISIT), band=extended_band))
    before, after = scores[1], note_disagreement(scores)[1]
    assert (len(after.reasons) > len(before.reasons)) is noted
