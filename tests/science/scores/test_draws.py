"""The draws that a score carries are the scores of the redrawn catches, one by one."""

from dataclasses import replace

import pytest

from service.science.scores.index import Index
from service.science.scores.registry import CATCH_INDICES
from service.science.scores.resampling import redraw
from service.science.scores.scorable import scorable
from tests.science.scores.catches import animals, counted
from tests.science.scores.definitions import DEFINITIONS

SEED = 20260312
# Rare and common animals, a coarse record beside finer ones, two stages of one family, one without a value.
CATCH = counted(
    animals("Elmidae/adult", 6),
    animals("Elmidae/larva", 2),
    animals("Trichoptera:net-spinning", 4),
    animals("Coleoptera:larva", 1),
    animals("Chironomidae:blood-red", 3),
    Perlidae=1,
    Heptageniidae=18,
    Ephemeroptera=2,
    Ametropodidae=1,
    Hydropsychidae=22,
    Tipulidae=1,
    Chironomidae=30,
    Gammaridae=12,
    Physidae=2,
    Oligochaeta=5,
)
LINES = scorable(CATCH)
SOME_DRAWS = range(0, 1000, 25)


@pytest.mark.parametrize("index", CATCH_INDICES, ids=lambda index: index.id)
def test_each_draw_is_scored_as_a_catch_of_its_own(index: Index) -> None:
    definition = replace(DEFINITIONS[index.id], decimals=6)
    score = index.score(CATCH, definition, SEED)
    assert score.draws is not None
    draws = score.draws()
    drawn = redraw(tuple(line.count for line in LINES), SEED)
    again = []
    for number in SOME_DRAWS:
        tallies = (
            animals(line.taxon, int(count), line.life_stage)
            for line, count in zip(LINES, drawn[number], strict=True)
        )
        again.append(index.score(counted(*tallies), definition, SEED).value)
    assert [draws[number] for number in SOME_DRAWS] == pytest.approx(again, abs=1e-6)
    assert len(set(again)) > 1


@pytest.mark.parametrize("index", CATCH_INDICES, ids=lambda index: index.id)
def test_there_are_none_where_nothing_can_be_drawn(index: Index) -> None:
    assert index.score(counted(), DEFINITIONS[index.id], SEED).draws is None
