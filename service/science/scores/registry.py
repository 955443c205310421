"""All indices. A new one is a module, a line here, and its rows in the reference data."""

from collections.abc import Mapping

from service.science import ccme_index
from service.science.catch import Catch
from service.science.scores import (
    bmwp,
    criteria_met,
    diversity,
    ept,
    family_biotic_index,
    oxygen_saturation,
    presence,
    streamside_survey,
    taxa_richness,
)
from service.science.scores.index import AnyIndex, Definition, Index, Measured, ReadingIndex, Score, SiteIndex
from service.science.scores.standing import only_some_counted

CATCH_INDICES: tuple[Index, ...] = (
    streamside_survey.INDEX,
    family_biotic_index.CORE,
    family_biotic_index.EXTENDED,
    ept.RICHNESS,
    ept.PERCENT,
    taxa_richness.INDEX,
    diversity.DOMINANT_PERCENT,
    diversity.SHANNON,
    diversity.SIMPSON,
    diversity.EVENNESS,
    bmwp.BMWP,
    bmwp.ASPT,
    presence.SUM,
    presence.MEAN,
)
READING_INDICES: tuple[ReadingIndex, ...] = (oxygen_saturation.INDEX, criteria_met.INDEX)
SITE_INDICES: tuple[SiteIndex, ...] = (ccme_index.INDEX,)
INDICES: tuple[AnyIndex, ...] = (*READING_INDICES, *CATCH_INDICES, *SITE_INDICES)


def score_catch(catch: Catch, definitions: Mapping[str, Definition], seed: int) -> tuple[Score, ...]:
    """Return one score for each index, in the order of :data:`CATCH_INDICES`.

    Parameters
    ----------
    catch : Catch
        One net sample.
    definitions : mapping of str to Definition
        The definition to use of each index, by its id.
    seed : int
        Seed of the draws, 0 or more, taken from the visit: the same visit always gets the same numbers.

    Returns
    -------
    tuple of Score
    """
    scores = [
        only_some_counted(catch, definitions[index.id]) or index.score(catch, definitions[index.id], seed)
        for index in CATCH_INDICES
    ]
    return family_biotic_index.note_disagreement(scores)


def score_readings(measured: Measured, definitions: Mapping[str, Definition], seed: int) -> tuple[Score, ...]:
    """Return the scores of the readings, in the order of :data:`READING_INDICES`; parameters as above."""
    scores = (index.score(measured, definitions[index.id], seed) for index in READING_INDICES)
    return tuple(score for score in scores if score is not None)
