import pytest

from service.science.scores.ept import PERCENT, RICHNESS
from service.science.scores.index import Standing
from tests.science.scores.catches import CLASS_VISIT, TAXA, animals, counted, lettered
from tests.science.scores.definitions import DEFINITIONS

# Definitions of both: EPA Rapid Bioassessment Protocols 1999, Table 7-1; counted by hand.


def richness(catch):
    return RICHNESS.score(catch, DEFINITIONS[RICHNESS.id], 1)


def percent(catch):
    return PERCENT.score(catch, DEFINITIONS[PERCENT.id], 1)


def test_families_of_a_class_visit():
    # Perlidae, Heptageniidae, Baetidae, Hydropsychidae, Glossosomatidae, Limnephilidae
    score = richness(CLASS_VISIT)
    assert (score.value, score.standing) == (6.0, Standing.RATED)
    assert (score.band, score.low, score.high, score.bands) == (None, None, None, {})


def test_share_of_a_class_visit():
    # 86 of the 186 scorable animals, the mayflies of unknown family on both sides
    score = percent(CLASS_VISIT)
    assert (score.value, score.band, score.standing) == (46.24, None, Standing.RATED)


def test_range_of_the_share_of_a_class_visit():
    # normal distribution: 1.645 x sqrt(0.4624 x 0.5376 / 186) = 6.0 points either way
    score = percent(CLASS_VISIT)
    assert score.low == pytest.approx(40.2, abs=1.0)
    assert score.high == pytest.approx(52.3, abs=1.0)


@pytest.mark.parametrize(
    ("ept_animals", "others", "low", "high"),
    [
        # scipy 1.17.1: beta.ppf of 0.05 and 0.95 with half an animal more on either side; none and all of
        # them stay within (Brown, Cai & DasGupta 2001, Statistical Science 16:101-133, from memory)
        (0, 100, 0.0, 1.90),
        (100, 0, 98.10, 100.0),
        (5, 95, 2.31, 9.58),
        (0, 4, 0.0, 37.3),
        (4, 0, 62.7, 100.0),
    ],
)
def test_few_or_none_in_the_catch_is_not_none_in_the_stretch(ept_animals, others, low, high):
    score = percent(counted(Perlidae=ept_animals, Baetidae=0, Chironomidae=others))
    assert score.low == pytest.approx(low, rel=0.08)
    assert score.high == pytest.approx(high, rel=0.08)
    assert score.low <= score.value <= score.high


def test_a_share_of_one_eighth_is_rounded_half_up():
    # 1 / 32 = 3.125 %
    assert percent(counted(Perlidae=1, Chironomidae=31)).value == 3.13


def test_no_such_animals_is_none_of_them():
    catch = counted(Chironomidae=60, Oligochaeta=60)
    assert (richness(catch).value, percent(catch).value) == (0.0, 0.0)


@pytest.mark.parametrize("ask", [richness, percent])
def test_letters_are_no_counts(ask):
    score = ask(lettered([(TAXA["Baetidae"], "C")]))
    assert (score.value, score.standing, score.reasons) == (None, Standing.MISSING, ("needs counts",))


@pytest.mark.parametrize(("ask", "value"), [(richness, 0.0), (percent, None)])
def test_an_empty_net(ask, value):
    score = ask(counted())
    assert (score.value, score.standing) == (value, Standing.EMPTY)


def test_animals_that_are_only_recorded_are_in_neither_number():
    catch = counted(animals("Gerridae", 50), animals("Perlidae", 30), animals("Chironomidae", 30))
    assert percent(catch).value == 50.0
    assert "50 animals left out: recorded, but of a kind that is not scored" in percent(catch).reasons
