"""All indices. A new one is a module, a line here, and its rows in the reference data."""

from collections.abc import Mapping

from service.science.catch import Catch
from service.science.scores import ept, family_biotic_index, streamside_survey, taxa_richness
from service.science.scores.index import Definition, Index, Measured, ReadingIndex, Score

CATCH_INDICES: tuple[Index, ...] = (
    streamside_survey.INDEX,
    family_biotic_index.CORE,
    family_biotic_index.EXTENDED,
    ept.RICHNESS,
    ept.PERCENT,
    taxa_richness.INDEX,
)
READING_INDICES: tuple[ReadingIndex, ...] = ()
INDICES: tuple[Index | ReadingIndex, ...] = (*READING_INDICES, *CATCH_INDICES)


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
    scores = [index.score(catch, definitions[index.id], seed) for index in CATCH_INDICES]
    return family_biotic_index.note_disagreement(scores)


def score_readings(measured: Measured, definitions: Mapping[str, Definition], seed: int) -> tuple[Score, ...]:
    """Return the scores of the readings, in the order of :data:`READING_INDICES`; parameters as above."""
    scores = (index.score(measured, definitions[index.id], seed) for index in READING_INDICES)
    return tuple(score for score in scores if score is not None)
