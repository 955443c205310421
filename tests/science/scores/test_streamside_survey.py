import pytest

from service.science.scores.index import Standing
from service.science.scores.streamside_survey import INDEX
from tests.science.scores.catches import (
    CLASS_VISIT,
    TAXA,
    animals,
    counted,
    found,
    kind,
    kinds_by_letter,
    lettered,
)
from tests.science.scores.definitions import DEFINITIONS

# Factors, classes and limits: US EPA 841-B-97-003 (1997), section 4.2, from memory; sums by hand.
DEFINITION = DEFINITIONS["streamside-survey"]


def survey(catch, seed=1):
    return INDEX.score(catch, DEFINITION, seed)


def test_a_class_visit():
    # I: 3R 2C = 26.2, II: 4R 3C = 23.0, III: 4R 1C = 5.9
    score = survey(CLASS_VISIT)
    assert (score.value, score.band, score.standing) == (55.1, "good", Standing.RATED)


@pytest.mark.parametrize(
    ("letters", "value", "band"),
    [
        # summed as binary fractions these two come to 19.999999999999996 and 40.00000000000001
        ({1: "C", 2: "CCCD", 3: "R"}, 20.0, "fair"),
        ({1: "CC", 2: "RRCCCCD", 3: "RRRCC"}, 40.0, "fair"),
        ({1: "RRC", 2: "RRRC", 3: "RR"}, 31.0, "fair"),
        ({1: "CCCCCCC", 2: "C" * 12, 3: "RRRRR"}, 86.0, "good"),
        ({3: "DDDDD"}, 5.0, "poor"),
        # a kind that swamps the sample earns less than a common one
        ({1: "DCCCCCCC"}, 44.5, "good"),
    ],
)
def test_letters(letters, value, band):
    score = survey(lettered(kinds_by_letter(letters)))
    assert (score.value, score.band) == (value, band)


@pytest.mark.parametrize(
    ("count", "value"), [(1, 5.0), (9, 5.0), (10, 5.6), (99, 5.6), (100, 5.3), (2500, 5.3)]
)
def test_classes_begin_at_1_10_and_100(count, value):
    assert survey(counted(Perlidae=count)).value == value


def test_families_of_a_kind_are_added_before_the_class_is_taken():
    # 5 + 5 mayflies are 10: one common kind, not two rare ones
    assert survey(counted(Baetidae=5, Heptageniidae=5)).value == 5.6


def test_a_mayfly_of_unknown_family_counts_with_its_kind():
    assert survey(counted(Baetidae=9, Ephemeroptera=1)).value == 5.6


def test_riffle_beetle_adult_and_larva_are_two_kinds():
    # adult in group I, larva in group II
    found = survey(counted(animals("Elmidae", 4, "adult"), animals("Elmidae", 14, "larva")))
    assert found.value == 5.0 + 3.4


def test_a_beetle_of_unknown_stage_has_no_kind():
    score = survey(counted(animals("Elmidae", 7), animals("Perlidae", 2)))
    assert score.value == 5.0
    assert "7 animals left out: no kind of this survey's list" in score.reasons


@pytest.mark.parametrize("letters", ["RC", "CR"])
def test_of_two_letters_for_one_kind_the_larger_class_counts(letters):
    families = (TAXA["Baetidae"], TAXA["Heptageniidae"])
    assert survey(lettered(zip(families, letters, strict=True))).value == 5.6


def test_a_letter_of_another_scheme_is_refused():
    with pytest.raises(ValueError, match="A is not one of the letters R, C, D"):
        survey(lettered([(TAXA["Baetidae"], "A")]))


def test_letters_have_no_range_and_no_chances():
    score = survey(lettered(kinds_by_letter({1: "CC", 2: "RRCCCCD", 3: "RRRCC"})))
    assert (score.low, score.high, score.bands) == (None, None, {})
    assert score.reasons == ("no range: nobody wrote how many animals there were",)


@pytest.mark.parametrize(
    ("letters", "standing", "reason"),
    [
        # 100 + 10 animals at the very least
        ({1: "DC"}, Standing.RATED, None),
        # 3 at the least, 27 at the most: surely too few
        ({1: "RRR"}, Standing.TOO_FEW, "at least 3 animals; 100 wanted"),
        # 27 at the least, 347 at the most: nobody knows
        ({1: "RRC", 2: "RRRC", 3: "RR"}, Standing.PROVISIONAL, "at least 27 animals; 100 wanted"),
    ],
)
def test_standing_of_letters_rests_on_what_is_sure(letters, standing, reason):
    score = survey(lettered(kinds_by_letter(letters)))
    assert score.standing is standing
    assert [said for said in score.reasons if "wanted" in said] == ([] if reason is None else [reason])


def test_range_and_chances_of_a_class_visit():
    score = survey(CLASS_VISIT)
    assert score.low < score.value <= score.high
    assert score.bands == {"good": 1.0}


def test_a_catch_near_a_bound_says_that_it_cannot_tell():
    # 6 x 5.0 + 3 x 3.4 = 40.2, two tenths above the bound, and each of the six was met by chance once
    rare = [animals(kind(f"rare {n}", 1), 1) for n in range(6)]
    common = [animals(kind(f"common {n}", 2), 30) for n in range(3)]
    score = survey(counted(*rare, *common))
    assert (score.value, score.band) == (40.2, "good")
    assert score.bands["fair"] == pytest.approx(0.5, abs=0.15)
    assert score.low < 40.0 < 42.0 < score.high
    assert sum(score.bands.values()) == pytest.approx(1.0)


def test_the_range_of_common_kinds_is_narrow_and_holds_the_score():
    # no kind of 40 animals is ever missed, and none comes near another class
    score = survey(counted(*(animals(kind(f"kind {n}", 2), 40) for n in range(5))))
    assert (score.value, score.low, score.high) == (17.0, 17.0, 17.0)


def test_an_empty_net_is_worth_nothing_but_is_not_called_poor():
    score = survey(counted())
    assert (score.value, score.band, score.standing) == (0.0, None, Standing.EMPTY)


def test_what_was_only_found_has_no_class_of_abundance():
    score = survey(found("Perlidae", "Baetidae"))
    assert (score.value, score.standing) == (None, Standing.MISSING)
    assert "needs counts, or the letters R, C and D" in score.reasons[0]
    assert survey(found()).standing is Standing.EMPTY
