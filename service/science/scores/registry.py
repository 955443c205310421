"""All indices of the catch. A new one is a module, a line here, and its rows in the reference data."""

from collections.abc import Mapping

from service.science.catch import Catch
from service.science.scores import ept, family_biotic_index, streamside_survey, taxa_richness
from service.science.scores.index import Definition, Index, Score

INDICES: tuple[Index, ...] = (
    streamside_survey.INDEX,
    family_biotic_index.CORE,
    family_biotic_index.EXTENDED,
    ept.RICHNESS,
    ept.PERCENT,
    taxa_richness.INDEX,
)


def score_catch(catch: Catch, definitions: Mapping[str, Definition], seed: int) -> tuple[Score, ...]:
    """Return one score for each index, in the order of :data:`INDICES`.

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
    scores = [index.score(catch, definitions[index.id], seed) for index in INDICES]
    return family_biotic_index.note_disagreement(scores)
