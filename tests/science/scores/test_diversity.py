import numpy as np
import pytest
from scipy.stats import entropy

from service.science.scores.diversity import DOMINANT_PERCENT, EVENNESS, SHANNON, SIMPSON
from service.science.scores.diversity_measures import pielou_evenness, shannon_entropy, simpson_diversity
from service.science.scores.index import Standing
from tests.science.scores.catches import CLASS_VISIT, TAXA, animals, counted, kind, lettered
from tests.science.scores.definitions import DEFINITIONS

ALL = (DOMINANT_PERCENT, SHANNON, SIMPSON, EVENNESS)
# The 18 families of the class visit, 181 animals.
FAMILIES = [3, 12, 21, 34, 7, 4, 18, 6, 3, 9, 29, 11, 4, 2, 5, 4, 8, 1]


def score(index, catch, seed=1):
    return index.score(catch, DEFINITIONS[index.id], seed)


def of_kinds(counts):
    """A catch of as many kinds, each its own family and order."""
    return counted(*(animals(kind(f"kind {place}", 1), count) for place, count in enumerate(counts)))


@pytest.mark.parametrize(
    ("measure", "digits"),
    [
        # printed by scikit-bio 0.7.4: shannon, simpson, pielou_e; the first also by scipy 1.17.1: entropy
        (shannon_entropy, 2.5291688604587756),
        (simpson_diversity, 0.8976526968041268),
        (pielou_evenness, 0.8750323737939163),
    ],
)
def test_measures_to_the_last_digit_of_a_library(measure, digits):
    assert float(measure(np.array(FAMILIES))) == pytest.approx(digits, rel=1e-13)


@pytest.mark.parametrize(
    ("counts", "wanted"),
    [
        # printed by scikit-bio 0.7.4; the shares by hand
        ([10, 10, 10, 10], (25.0, 1.3863, 0.75, 1.0)),
        ([97, 1, 1, 1], (97.0, 0.1677, 0.0588, 0.1210)),
        ([50, 50], (50.0, 0.6931, 0.5, 1.0)),
    ],
)
def test_small_catches(counts, wanted):
    assert tuple(score(index, of_kinds(counts)).value for index in ALL) == wanted


@pytest.mark.parametrize("draw", range(20))
def test_shannon_of_random_catches_is_that_of_scipy(draw):
    counts = np.random.default_rng(draw).integers(1, 200, size=2 + draw)
    assert score(SHANNON, of_kinds(counts.tolist())).value == pytest.approx(entropy(counts), abs=5.1e-5)


def test_a_class_visit():
    # 34 of 186 scorable animals, the five mayflies of unknown family in the divisor and no taxon of their own
    assert score(DOMINANT_PERCENT, CLASS_VISIT).value == 18.28
    # scikit-bio 0.7.4 for its 18 families
    assert [score(index, CLASS_VISIT).value for index in ALL[1:]] == [2.5292, 0.8977, 0.875]


@pytest.mark.parametrize("index", ALL, ids=lambda index: index.id)
def test_a_class_visit_has_a_range_and_no_word(index):
    found = score(index, CLASS_VISIT)
    assert found.standing is Standing.RATED
    assert found.low < found.value < found.high
    assert (found.band, found.bands) == (None, {})
    coarse = "5 animals left out: named more coarsely than others of this catch"
    assert (coarse in found.reasons) is (index is not DOMINANT_PERCENT)


def test_stages_and_genera_are_their_family():
    catch = counted(animals("Elmidae/adult", 5), animals("Elmidae/larva", 5), animals("Corydalus", 10))
    assert score(SIMPSON, catch).value == 0.5
    assert score(DOMINANT_PERCENT, catch).value == 50.0


def test_a_coarse_record_alone_is_a_taxon():
    assert score(SIMPSON, counted(Ephemeroptera=50, Chironomidae=50)).value == 0.5


def test_one_taxon_has_no_diversity_and_no_evenness():
    # formula: evenness would be 0 / 0
    one = counted(Baetidae=120)
    assert [score(index, one).value for index in ALL] == [100.0, 0.0, 0.0, None]
    assert score(EVENNESS, one).standing is Standing.MISSING
    assert score(EVENNESS, one).reasons == ("all animals are of one kind: evenness compares two or more",)


@pytest.mark.parametrize("index", ALL[:3], ids=lambda index: index.id)
def test_a_range_without_width_is_no_certainty(index):
    found = score(index, counted(Baetidae=120))
    assert found.low == found.high
    assert any("cannot show how far another catch would differ" in reason for reason in found.reasons)


@pytest.mark.parametrize("index", ALL, ids=lambda index: index.id)
def test_a_small_catch_of_many_kinds_stands_in_the_middle_of_its_range(index):
    # drawn again and left there, 30 animals come out poorer once more: most of the range lies on one side
    found = score(index, of_kinds([9, 5, 3, 3, 2, 2, 1, 1, 1, 1, 1, 1]))
    middle = (found.low + found.high) / 2
    assert abs(middle - found.value) < 0.15 * (found.high - found.low)


@pytest.mark.parametrize("index", ALL, ids=lambda index: index.id)
def test_an_even_catch_stays_within_what_the_index_can_be(index):
    found = score(index, of_kinds([30, 30]))
    assert found.low < found.value
    assert found.high <= {DOMINANT_PERCENT: 100.0, SHANNON: np.log(6), SIMPSON: 1.0, EVENNESS: 1.0}[index]


@pytest.mark.parametrize("index", ALL, ids=lambda index: index.id)
@pytest.mark.parametrize("number", [1, 2, 3])
def test_never_not_a_number(index, number):
    found = score(index, of_kinds([1] * number))
    numbers = [found.value, found.low, found.high]
    assert not any(number is not None and np.isnan(number) for number in numbers)
    assert found.standing in (Standing.TOO_FEW, Standing.MISSING)


@pytest.mark.parametrize("index", ALL, ids=lambda index: index.id)
def test_letters_are_no_counts(index):
    found = score(index, lettered([(TAXA["Baetidae"], "C")]))
    assert (found.value, found.standing, found.reasons) == (None, Standing.MISSING, ("needs counts",))


@pytest.mark.parametrize("index", ALL, ids=lambda index: index.id)
def test_an_empty_net(index):
    found = score(index, counted())
    assert (found.value, found.standing) == (None, Standing.EMPTY)


@pytest.mark.parametrize("index", ALL, ids=lambda index: index.id)
def test_a_single_order_is_at_best_provisional(index):
    assert score(index, counted(Baetidae=80, Heptageniidae=80)).standing is Standing.PROVISIONAL


@pytest.mark.parametrize("measure", [shannon_entropy, simpson_diversity, pielou_evenness])
@pytest.mark.parametrize("counts", [[], [0, 0], [3, -1]])
def test_measures_refuse_what_is_no_catch(measure, counts):
    with pytest.raises(ValueError, match="no animals at all"):
        measure(np.array(counts))
