from dataclasses import replace
from decimal import Decimal

import pytest

from service.science.catch import ScoringUse, Taxon
from service.science.scores.bmwp import ASPT, BMWP
from service.science.scores.index import Standing
from tests.science.scores.catches import CLASS_VISIT, TAXA, animals, counted, kind, lettered
from tests.science.scores.definitions import DEFINITIONS

# Family scores, and the sum and the mean made of them: Armitage et al. 1983, Water Research 17:333-347, as
# reprinted. Catches are invented and added up by hand.


def bmwp(catch):
    return BMWP.score(catch, DEFINITIONS[BMWP.id], 1)


def aspt(catch):
    return ASPT.score(catch, DEFINITIONS[ASPT.id], 1)


def family(name: str, score: int | None = None, unit: str | None = None) -> Taxon:
    return replace(kind(name, 1), bmwp=score, bmwp_unit=unit)


def test_a_class_visit():
    # 10 + 10 + 4 + 5 + 7 + 7 + 5 + 5 + 5 + 2 + 6 + 3 + 3 + 3 + 1 + 3 over 16 families
    score = bmwp(CLASS_VISIT)
    assert (score.value, score.band, score.standing) == (79.0, "good", Standing.RATED)


def test_the_mean_of_a_class_visit_is_rounded_half_up_and_has_no_band():
    # 79 / 16 = 4.9375
    score = aspt(CLASS_VISIT)
    assert (score.value, score.band, score.bands, score.standing) == (4.94, None, {}, Standing.RATED)


def test_an_exact_half_is_rounded_up():
    # 33 / 8 = 4.125
    families = [family(f"family {place}", 4) for place in range(7)] + [family("family 7", 5)]
    assert aspt(counted(*(animals(each, 20) for each in families))).value == 4.13


SHORT = ("Perlidae", "Baetidae", "Hydropsychidae", "Gammaridae", "Chironomidae", "Oligochaeta", "Psephenidae")


def test_a_family_without_a_score_is_in_neither_sum_nor_divisor():
    # 28 / 6; dividing by all seven families would give 4.00
    catch = counted(*(animals(name, 20) for name in SHORT))
    assert (bmwp(catch).value, aspt(catch).value) == (28.0, 4.67)


@pytest.mark.parametrize("ask", [bmwp, aspt])
def test_what_is_left_out_is_listed(ask):
    reasons = ask(CLASS_VISIT).reasons
    assert (
        "8 animals left out: not on the British list, so in neither sum nor divisor (Cambaridae, Psephenidae)"
        in reasons
    )
    assert (
        "5 animals left out: too coarse for a family score, name the family if you can (Ephemeroptera)"
        in reasons
    )
    assert "the British list would also score Gerridae (5); here such animals are only recorded" in reasons


@pytest.mark.parametrize(
    ("lines", "value"),
    [
        # each family once, whatever its stages, colour forms and numbers
        (("Elmidae/adult", "Elmidae/larva", "Baetidae"), 9),
        (("Chironomidae", "Chironomidae:blood-red", "Baetidae"), 6),
        (("Chironomidae:blood-red", "Baetidae"), 6),
        # a coarse record is not scored and not lent the score of a family beside it
        (("Ephemeroptera", "Baetidae", "Perlidae"), 14),
        (("Amphipoda", "Baetidae", "Perlidae"), 14),
        # recorded only, on land, or unknown
        (("Gerridae", "Corixidae", None, "Baetidae", "Perlidae"), 14),
    ],
)
def test_what_scores(lines, value):
    assert bmwp(counted(*(animals(name, 20) for name in lines))).value == value


@pytest.mark.parametrize(
    ("present", "value", "mean"),
    [
        # British practice: Rhyacophilidae with Glossosomatidae, Gammaridae with Crangonyctidae (from memory)
        (("old", "new", "other"), 11.0, 5.5),
        (("new", "other"), 11.0, 5.5),
        (("old", "other"), 11.0, 5.5),
    ],
)
def test_two_families_that_are_one_unit_score_once(present, value, mean):
    pair = {
        "old": family("Rhyacophilidae", 7),
        "new": family("Glossosomatidae", 7, "Rhyacophilidae"),
        "other": family("Baetidae", 4),
    }
    catch = counted(*(animals(pair[name], 60) for name in present))
    assert (bmwp(catch).value, aspt(catch).value) == (value, mean)


@pytest.mark.parametrize(
    ("value", "band"),
    [
        # bands of a public page on the index; the lowest from memory
        (10, "very poor"),
        (11, "poor"),
        (40, "poor"),
        (41, "moderate"),
        (70, "moderate"),
        (71, "good"),
        (100, "good"),
        (101, "very good"),
    ],
)
def test_bands(value, band):
    # two families always: one with a single point, one with the rest
    catch = counted(animals(family("one", 1), 60), animals(family("rest", value - 1), 60))
    assert (bmwp(catch).value, bmwp(catch).band) == (value, band)


def test_the_doubt_of_a_family_that_may_be_missed():
    # 1 stonefly among 100: other nets miss it, or find another family, so the range reaches to both sides
    catch = counted(Perlidae=1, Baetidae=99)
    assert bmwp(catch).low < 14.0 < bmwp(catch).high
    assert aspt(catch).low < 7.0 < aspt(catch).high
    assert sum(bmwp(catch).bands.values()) == pytest.approx(1.0)
    # a redrawn catch can only lose it: 0.99 ** 100 = 36.6 % of the draws are 4
    assert set(bmwp(catch).draws()) == {4.0, 14.0}
    assert (bmwp(catch).draws() == 4.0).mean() == pytest.approx(0.366, abs=0.05)


def test_a_mean_stays_within_the_points_of_the_list():
    catch = counted(Perlidae=2, Heptageniidae=1)
    assert 1.0 <= aspt(catch).low <= aspt(catch).high <= 10.0


def test_letters_are_enough_and_give_no_range():
    lines = [(TAXA["Perlidae"], "R"), (TAXA["Baetidae"], "D"), (TAXA["Psephenidae"], "C")]
    score = bmwp(lettered(lines))
    assert (score.value, score.band, score.standing) == (14.0, "poor", Standing.RATED)
    assert (score.low, score.high, score.bands) == (None, None, {})
    assert "no range: nobody wrote how many animals there were" in score.reasons
    assert (
        "1 line left out: not on the British list, so in neither sum nor divisor (Psephenidae)"
        in score.reasons
    )
    assert aspt(lettered(lines)).value == 7.0


@pytest.mark.parametrize(
    ("letters", "standing", "animals_said"),
    [
        # R 1 to 9, C 10 to 99, D 100 and more; 100 are wanted, fewer than 30 are too few
        ("RRR", Standing.TOO_FEW, "at least 3 animals; 100 wanted"),
        ("RRRR", Standing.PROVISIONAL, "at least 4 animals; 100 wanted"),
        ("RC", Standing.PROVISIONAL, "at least 11 animals; 100 wanted"),
    ],
)
def test_standing_from_letters(letters, standing, animals_said):
    score = bmwp(lettered([(family(f"family {n}", 10), letter) for n, letter in enumerate(letters)]))
    assert (score.standing, score.band is None) == (standing, standing is Standing.TOO_FEW)
    assert animals_said in score.reasons


def test_a_dominant_family_is_100_animals_and_nobody_knows_how_many_more():
    catch = lettered([(family("many", 10), "D"), (TAXA["Psephenidae"], "R")])
    assert bmwp(catch).standing is Standing.RATED
    wants_more = {"animals_wanted": Decimal(500), "animals_provisional": Decimal(300)}
    definition = DEFINITIONS[BMWP.id]
    stricter = replace(definition, constants={**definition.constants, **wants_more})
    assert BMWP.score(catch, stricter, 1).standing is Standing.PROVISIONAL


def test_an_order_that_has_a_tolerance_is_still_too_coarse_here():
    reasons = bmwp(counted(Amphipoda=20, Perlidae=60, Baetidae=60)).reasons
    said = "20 animals left out: too coarse for a family score, name the family if you can (Amphipoda)"
    assert said in reasons


def test_an_unknown_letter_is_refused():
    with pytest.raises(ValueError, match="R, C, D"):
        bmwp(lettered([(TAXA["Baetidae"], "A")]))


def test_few_animals_get_no_word():
    score = bmwp(counted(Perlidae=15, Baetidae=14))
    assert (score.value, score.band, score.bands, score.standing) == (14.0, None, {}, Standing.TOO_FEW)


def test_only_animals_with_a_score_make_it_firm():
    score = bmwp(counted(Psephenidae=100, Perlidae=20, Baetidae=20))
    assert score.standing is Standing.PROVISIONAL
    assert "40 animals; 100 wanted" in score.reasons


@pytest.mark.parametrize(("ask", "value"), [(bmwp, 0.0), (aspt, None)])
def test_an_empty_net(ask, value):
    score = ask(counted())
    assert (score.value, score.band, score.standing) == (value, None, Standing.EMPTY)


@pytest.mark.parametrize("ask", [bmwp, aspt])
def test_a_catch_without_any_british_family_is_no_result(ask):
    score = ask(counted(Psephenidae=60, Cambaridae=60))
    assert (score.value, score.standing) == (None, Standing.MISSING)
    assert (
        "120 animals left out: not on the British list, so in neither sum nor divisor"
        " (Cambaridae, Psephenidae)" in score.reasons
    )


def test_a_recorded_family_of_a_unit_is_said_under_the_name_of_the_list():
    # British practice counts Noteridae with Dytiscidae (from memory)
    beetle = replace(family("Noteridae", 5, "Dytiscidae"), scoring_use=ScoringUse.RECORD_ONLY)
    reasons = bmwp(counted(animals(beetle, 2), Perlidae=60, Baetidae=60)).reasons
    assert "the British list would also score Dytiscidae (5); here such animals are only recorded" in reasons
