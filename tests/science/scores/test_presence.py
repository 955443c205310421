from dataclasses import replace

import pytest

from service.science.catch import Taxon
from service.science.scores.index import Standing
from service.science.scores.presence import MEAN, SUM
from tests.science.scores.catches import CLASS_VISIT, TAXA, animals, counted, found, kind, lettered
from tests.science.scores.definitions import DEFINITIONS

# Weights of four-group lists in use in school programmes: second-hand and common practice; limits from
# memory. Catches are invented and added up by hand.


def total(catch):
    return SUM.score(catch, DEFINITIONS[SUM.id], 1)


def mean(catch):
    return MEAN.score(catch, DEFINITIONS[MEAN.id], 1)


def weighted(name: str, weight: int) -> Taxon:
    return replace(kind(name, 1), presence_kind=name, presence_weight=weight)


def catch_of(*numbers: int):
    """A catch of so many kinds with weight 4, 3, 2 and 1, 60 animals each."""
    weights = [weight for weight, number in zip((4, 3, 2, 1), numbers, strict=True) for _ in range(number)]
    return counted(*(animals(weighted(f"kind {n}", weight), 60) for n, weight in enumerate(weights)))


def test_a_class_visit():
    # 1 x 4 + 7 x 3 + 3 x 2 + 4 x 1 = 35 over 15 kinds
    assert (total(CLASS_VISIT).value, total(CLASS_VISIT).band) == (35.0, "excellent")
    assert (mean(CLASS_VISIT).value, mean(CLASS_VISIT).band) == (2.33, "fair")
    assert total(CLASS_VISIT).standing is Standing.RATED


@pytest.mark.parametrize(
    ("lines", "value"),
    [
        # a mayfly of unknown family is a mayfly, and beside its family no second kind
        (("Ephemeroptera", "Chironomidae"), 5),
        (("Ephemeroptera", "Baetidae", "Heptageniidae", "Chironomidae"), 5),
        # one kind of caddisfly, spinning a net or not; one of riffle beetle, adult or larva
        (("Hydropsychidae", "Limnephilidae", "Chironomidae"), 5),
        (("Elmidae/adult", "Elmidae/larva", "Chironomidae"), 5),
        # red midges and others are two
        (("Chironomidae", "Chironomidae:blood-red", "Baetidae"), 6),
        (("Chironomidae:blood-red", "Baetidae"), 4),
        # a kind that the list does not know, the surface, the unknown
        (("Aeshnidae", "Gerridae", None, "Chironomidae", "Baetidae"), 5),
    ],
)
def test_what_is_a_kind(lines, value):
    assert total(counted(*(animals(name, 20) for name in lines))).value == value


@pytest.mark.parametrize(
    ("numbers", "value", "band"),
    [
        # above 22, 17 to 22, 11 to 16, below 11
        ((5, 1, 0, 0), 23.0, "excellent"),
        ((5, 0, 1, 0), 22.0, "good"),
        ((3, 1, 1, 0), 17.0, "good"),
        ((4, 0, 0, 0), 16.0, "fair"),
        ((2, 1, 0, 0), 11.0, "fair"),
        ((2, 0, 1, 0), 10.0, "poor"),
    ],
)
def test_bands_of_the_sum(numbers, value, band):
    score = total(catch_of(*numbers))
    assert (score.value, score.band) == (value, band)


@pytest.mark.parametrize(
    ("numbers", "value", "band"),
    [
        # one decimal is printed: 3.6 and above, 2.6 to 3.5, 2.1 to 2.5, 1.0 to 2.0; all rounds up to these
        ((11, 9, 0, 0), 3.55, "excellent"),
        ((1, 1, 0, 0), 3.5, "good"),
        ((0, 11, 9, 0), 2.55, "good"),
        ((0, 1, 1, 0), 2.5, "fair"),
        ((0, 1, 19, 0), 2.05, "fair"),
        ((0, 1, 24, 0), 2.04, "poor"),
        ((0, 0, 1, 5), 1.17, "poor"),
        ((0, 0, 0, 2), 1.0, "poor"),
        ((2, 0, 0, 0), 4.0, "excellent"),
    ],
)
def test_bands_of_the_mean(numbers, value, band):
    score = mean(catch_of(*numbers))
    assert (score.value, score.band) == (value, band)


def test_the_same_catch_can_be_two_classes_apart():
    # 24 kinds with weight 1: many, and all tolerant
    assert (total(catch_of(0, 0, 0, 24)).band, mean(catch_of(0, 0, 0, 24)).band) == ("excellent", "poor")


def test_the_doubt_of_a_kind_that_may_be_missed():
    # 1 stonefly among 100: other nets miss it, or find another kind, so the range reaches to both sides
    catch = counted(Perlidae=1, Chironomidae=99)
    assert total(catch).low < 6.0 < total(catch).high
    assert 1.0 <= mean(catch).low < 3.0 < mean(catch).high <= 4.0
    # a redrawn catch can only lose it: 0.99 ** 100 = 36.6 % of the draws are 2
    assert (total(catch).draws() == 2.0).mean() == pytest.approx(0.366, abs=0.05)


def test_letters_are_enough_and_give_no_range():
    lines = [(TAXA["Perlidae"], "R"), (TAXA["Baetidae"], "D"), (TAXA["Ephemeroptera"], "R")]
    score = total(lettered(lines))
    assert (score.value, score.low, score.high, score.bands) == (7.0, None, None, {})
    assert "no range: nobody wrote how many animals there were" in score.reasons
    assert mean(lettered(lines)).value == 3.5


def test_what_was_only_found_scores_as_what_was_counted():
    # 4 + 3 + 2 points by the weights of this list: a stonefly, a mayfly, a midge
    names = ("Perlidae", "Baetidae", "Chironomidae")
    assert total(found(*names)).value == total(counted(**dict.fromkeys(names, 20))).value
    assert (total(found(*names)).low, total(found(*names)).standing) == (None, Standing.PROVISIONAL)


def test_what_the_list_does_not_hold_is_said():
    catch = counted(animals("Aeshnidae", 2), animals("Trichoptera", 3), Perlidae=60, Baetidae=60)
    said = "5 animals left out: no kind of this list, or too coarse to tell which (Aeshnidae, Trichoptera)"
    assert said in total(catch).reasons
    assert said in mean(catch).reasons


@pytest.mark.parametrize(("ask", "value"), [(total, 0.0), (mean, None)])
def test_an_empty_net(ask, value):
    score = ask(counted())
    assert (score.value, score.band, score.standing) == (value, None, Standing.EMPTY)


@pytest.mark.parametrize("ask", [total, mean])
def test_animals_that_the_list_does_not_hold_are_no_result(ask):
    score = ask(counted(animals("Aeshnidae", 60), animals("Corydalus", 60)))
    assert (score.value, score.standing) == (None, Standing.MISSING)
