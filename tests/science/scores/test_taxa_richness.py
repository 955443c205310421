import pytest

from service.science.scores.index import Standing
from service.science.scores.taxa_richness import INDEX
from tests.science.scores.catches import ANT, CLASS_VISIT, TAXA, animals, counted, lettered
from tests.science.scores.definitions import DEFINITIONS

# Total taxa: EPA Rapid Bioassessment Protocols 1999, Table 7-1. One level, and coarse records dropped beside
# finer ones: common practice.


def richness(*lines):
    return INDEX.score(counted(*(animals(name, 3) for name in lines)), DEFINITIONS[INDEX.id], 1).value


def test_a_class_visit():
    # 18 families; Elmidae once; the mayfly of unknown family is no nineteenth
    score = INDEX.score(CLASS_VISIT, DEFINITIONS[INDEX.id], 1)
    assert (score.value, score.standing) == (18.0, Standing.RATED)
    assert (score.band, score.low, score.high) == (None, None, None)


@pytest.mark.parametrize(
    ("lines", "taxa"),
    [
        (("Elmidae/adult", "Elmidae/larva"), 1),
        (("Chironomidae", "Chironomidae:blood-red"), 1),
        (("Corydalus", "Nigronia"), 1),
        (("Corydalus", "Corydalidae"), 1),
        (("Baetidae", "Ephemeroptera"), 1),
        (("Ephemeroptera",), 1),
        (("Ephemeroptera", "Perlidae"), 2),
        # the genus is under its order by way of a family that was not written down
        (("Corydalus", "Megaloptera"), 1),
        # a scored coarse record goes too
        (("Gammaridae", "Amphipoda"), 1),
        # the coarse group gathers several families of the kind
        (("Hydropsychidae", "Trichoptera:net-spinning"), 1),
        (("Limnephilidae", "Trichoptera:net-spinning"), 2),
        (("Trichoptera", "Trichoptera:net-spinning"), 1),
        (("Aeshnidae", "Anisoptera"), 1),
        (("Elmidae/larva", "Coleoptera:larva"), 1),
        (("Elmidae/adult", "Coleoptera:larva"), 2),
        # worms and leeches are both under Annelida, which nobody wrote
        (("Oligochaeta", "Erpobdellidae"), 2),
        (("Perlidae", "Gerridae", "Corixidae", "Cladocera", ANT, None), 1),
    ],
)
def test_what_counts_as_one_taxon(lines, taxa):
    assert richness(*lines) == taxa


def test_looked_for_and_not_found_is_no_taxon():
    catch = counted(animals("Perlidae", 0), animals("Baetidae", 2))
    assert INDEX.score(catch, DEFINITIONS[INDEX.id], 1).value == 1.0


def test_letters_are_no_counts():
    score = INDEX.score(lettered([(TAXA["Baetidae"], "C")]), DEFINITIONS[INDEX.id], 1)
    assert (score.value, score.standing, score.reasons) == (None, Standing.MISSING, ("needs counts",))


def test_an_empty_net():
    score = INDEX.score(counted(), DEFINITIONS[INDEX.id], 1)
    assert (score.value, score.standing) == (0.0, Standing.EMPTY)
