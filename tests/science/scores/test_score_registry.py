from dataclasses import replace

import pytest

from service.science.catch import Catch
from service.science.scores.index import Standing
from service.science.scores.registry import CATCH_INDICES, INDICES, score_catch
from tests.science.scores.catches import CLASS_VISIT, TAXA, animals, counted, lettered
from tests.science.scores.definitions import DEFINITIONS


def scores_by_index(catch, seed=1):
    return {score.index: score for score in score_catch(catch, DEFINITIONS, seed)}


def test_every_index_scores_a_class_visit():
    # by hand from the published formulas
    assert {index: score.value for index, score in scores_by_index(CLASS_VISIT).items()} == {
        "streamside-survey": 55.1,
        "family-biotic-core": 4.32,
        "family-biotic-extended": 4.71,
        "ept-richness": 6.0,
        "ept-percent": 46.24,
        "taxa-richness": 18.0,
        "dominant-percent": 18.28,
        # scikit-bio 0.7.4 for the 18 families
        "shannon": 2.5292,
        "simpson": 0.8977,
        "evenness": 0.875,
        "bmwp": 79.0,
        "aspt": 4.94,
        "presence-sum": 35.0,
        "presence-mean": 2.33,
    }


@pytest.mark.parametrize("index", INDICES, ids=lambda index: index.id)
def test_the_shipped_definition_holds_every_constant_the_index_needs(index):
    assert set(index.needs) == set(DEFINITIONS[index.id].constants)


@pytest.mark.parametrize("index", CATCH_INDICES, ids=lambda index: index.id)
def test_a_score_names_the_definition_it_was_made_with(index):
    definition = replace(DEFINITIONS[index.id], number=7)
    assert index.score(CLASS_VISIT, definition, 1).definition == 7


@pytest.mark.parametrize(
    "catch",
    [CLASS_VISIT, counted(Baetidae=200), counted(), lettered([(TAXA["Baetidae"], "C")])],
    ids=["many orders", "one order", "empty", "letters"],
)
def test_a_class_that_counted_mayflies_only_gets_no_score_of_the_community(catch):
    # common practice: an index of the community is made for all its animals
    scores = score_catch(replace(catch, counted_only=("mayflies",)), DEFINITIONS, 1)
    assert [score.index for score in scores] == [index.id for index in CATCH_INDICES]
    found = {(score.value, score.band, score.low, score.standing) for score in scores}
    assert found == {(None, None, None, Standing.MISSING)}


@pytest.mark.parametrize(
    ("groups", "words"),
    [
        (("mayflies",), "mayflies"),
        (("mayflies", "stoneflies"), "mayflies and stoneflies"),
        (("mayflies", "stoneflies", "leeches"), "mayflies, stoneflies and leeches"),
    ],
)
def test_it_is_said_which_groups_alone_were_counted(groups, words):
    (reason,) = scores_by_index(replace(CLASS_VISIT, counted_only=groups))["taxa-richness"].reasons
    assert reason == f"only {words} were counted: a score of the whole community needs all animals"


def test_the_same_visit_always_gets_the_same_numbers():
    assert score_catch(CLASS_VISIT, DEFINITIONS, 99) == score_catch(CLASS_VISIT, DEFINITIONS, 99)


def test_the_order_of_the_lines_changes_nothing():
    turned = Catch(CLASS_VISIT.scheme, CLASS_VISIT.tallies[::-1])
    assert score_catch(turned, DEFINITIONS, 99) == score_catch(CLASS_VISIT, DEFINITIONS, 99)


def test_another_seed_moves_the_range_a_little_and_never_the_value():
    one, other = (scores_by_index(CLASS_VISIT, seed)["ept-percent"] for seed in (1, 2))
    assert one.value == other.value
    assert one.low == pytest.approx(other.low, abs=1.5)


def test_two_scopes_that_disagree_are_marked():
    # 100 midges and mayflies at 5.00; with 100 worms at 8 it is 6.50
    scores = scores_by_index(counted(Chironomidae=50, Baetidae=50, Oligochaeta=100))
    assert scores["family-biotic-core"].band == "good"
    assert scores["family-biotic-extended"].band == "fairly poor"
    reason = "rated fairly poor with worms, leeches and snails, but good by its arthropods alone"
    assert reason in scores["family-biotic-extended"].reasons


@pytest.mark.parametrize("index", CATCH_INDICES, ids=lambda index: index.id)
@pytest.mark.parametrize("catch", [counted(), lettered([])], ids=["counts", "letters"])
def test_an_empty_net_is_a_result_without_a_word(index, catch):
    score = index.score(catch, DEFINITIONS[index.id], 1)
    assert (score.standing, score.band, score.bands) == (Standing.EMPTY, None, {})
    assert score.reasons


@pytest.mark.parametrize("index", CATCH_INDICES, ids=lambda index: index.id)
def test_unknown_and_land_animals_are_said(index):
    reasons = index.score(CLASS_VISIT, DEFINITIONS[index.id], 1).reasons
    assert "3 animals left out: the name does not tell one kind of animal of the taxa list" in reasons
    assert "3 animals left out: recorded, but of a kind that is not scored" in reasons


@pytest.mark.parametrize("index", CATCH_INDICES, ids=lambda index: index.id)
def test_a_written_name_is_never_repeated(index):
    # free text may hold anything
    catch = counted(animals(None, 3), Baetidae=50, Chironomidae=60)
    assert not any("as written" in reason for reason in index.score(catch, DEFINITIONS[index.id], 1).reasons)
