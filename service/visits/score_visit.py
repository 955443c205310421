"""All scores of a visit: of its readings and of its catch, under what the network has set for the place."""

from collections.abc import Iterable
from dataclasses import dataclass

from service.reference.catalogue import Catalogue
from service.science import types as science
from service.science.criterion import Criterion
from service.science.flags import Flag
from service.science.scores.index import Measured, Score
from service.science.scores.multimetric import FrozenIndex, score_multimetric
from service.science.scores.qualify import qualify
from service.science.scores.registry import score_catch, score_readings


@dataclass(frozen=True, slots=True)
class NetworkRules:
    """What the network has set for a site on a day, beside the reference data."""

    criteria: tuple[Criterion, ...] = ()
    own_indices: tuple[FrozenIndex, ...] = ()


def score_visit(
    visit: science.Visit,
    doubted: Iterable[int],
    catch_flag: Flag,
    rules: NetworkRules,
    catalogue: Catalogue,
    seed: int,
) -> tuple[Score, ...]:
    """Return the scores of a visit.

    ``visit`` holds the readings that have not failed and ``doubted`` the positions of those that are suspect;
    ``catch_flag`` is what the checks of the catch said together. Nothing follows from a blank.
    """
    if visit.kind is science.VisitKind.FIELD_BLANK:
        return ()
    measured = Measured(visit, frozenset(doubted), rules.criteria)
    scores = score_readings(measured, catalogue.definitions, seed)
    if visit.catch is not None:
        of_catch = qualify(score_catch(visit.catch, catalogue.definitions, seed), catch_flag)
        scores += of_catch + tuple(
            score_multimetric(visit.catch, of_catch, index, catalogue.definitions)
            for index in rules.own_indices
        )
    return scores
