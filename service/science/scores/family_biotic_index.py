"""Family biotic index: the mean tolerance of the animals to organic pollution, 0 (best) to 10 (worst).

Two scopes from one function. *Core* takes the arthropods the index was made for. *Extended* adds worms,
leeches, snails and others, which are what is left in bad water; the bands are then borrowed.

Reference
---------
Hilsenhoff, W.L. 1988. Rapid field assessment of organic pollution with a family-level biotic index. Journal
of the North American Benthological Society 7(1):65-68. It measures organic pollution: it can look good below
a source of metal, salt or pesticide.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from decimal import Decimal
from functools import partial

import numpy as np
from numpy.typing import NDArray

from service.science.catch import Catch, Taxon
from service.science.scores.banding import band_of, round_half_up
from service.science.scores.index import Definition, Index, Score
from service.science.scores.resampling import Doubt, doubt_of, draw_mean, redraw
from service.science.scores.scorable import (
    ScorableLine,
    number_of_animals,
    plural,
    reasons_left_out,
    scorable,
)
from service.science.scores.standing import NEEDS, needs_counts, trust_in, unscored

TOLERANCES = (0.0, 10.0)

Scope = Callable[[Taxon], bool]


def family_biotic_index(catch: Catch, definition: Definition, seed: int, *, in_scope: Scope) -> Score:
    """Return the mean tolerance of the animals that have a value within the scope.

    Only valued animals are in the sum and in the divisor: dividing by all animals would give every unvalued
    one a tolerance of 0, the cleanest there is.

    Parameters
    ----------
    catch : Catch
        Counts of animals; letters cannot be scored.
    definition : Definition
        Bands, decimals, and the constants of :data:`NEEDS` with ``unvalued_percent_max``.
    seed : int
        Seed of the draws.
    in_scope : callable
        Whether a taxon belongs to the index.

    Returns
    -------
    Score
        Value 0 to 10 [tolerance], rounded half up before it is banded.

    Reference
    ---------
    Hilsenhoff 1988, as in the heading of this module: sum of n x t over sum of n.
    """
    lines = scorable(catch)
    valued = tuple(line for line in lines if _is_valued(line, in_scope))
    score = needs_counts(catch, definition) or unscored(catch, definition, valued, when_empty=None)
    if score is not None:
        return score
    animals = number_of_animals(valued)
    tolerances = (line.count * line.taxon.tolerance for line in valued if line.taxon.tolerance is not None)
    value = round_half_up(sum(tolerances, Decimal(0)) / animals, definition.decimals)
    trust = trust_in(animals, animals, lines, definition)
    doubt = _doubt(valued, seed, definition)
    return Score(
        index=definition.index,
        definition=definition.number,
        value=float(value),
        band=band_of(value, definition.bands) if trust.may_rate else None,
        standing=trust.standing,
        low=doubt.low,
        high=doubt.high,
        draws=partial(_means_of_draws, lines, in_scope, seed),
        bands=doubt.bands if trust.may_rate else {},
        reasons=(
            *trust.reasons,
            *doubt.reasons,
            *_reasons_unvalued(lines, animals, definition),
            *reasons_left_out(catch),
        ),
    )


def note_disagreement(scores: Sequence[Score]) -> tuple[Score, ...]:
    """Return the scores, the extended index marked when the core one rates the same catch differently."""
    core = next((score for score in scores if score.index == CORE.id), None)
    return tuple(_noted(score, core) for score in scores)


def _noted(score: Score, core: Score | None) -> Score:
    if (
        core is None
        or score.index != EXTENDED.id
        or None in (core.band, score.band)
        or core.band == score.band
    ):
        return score
    reason = f"rated {score.band} with worms, leeches and snails, but {core.band} by its arthropods alone"
    return replace(score, reasons=(*score.reasons, reason))


def _is_valued(line: ScorableLine, in_scope: Scope) -> bool:
    return in_scope(line.taxon) and line.taxon.tolerance is not None


def _doubt(valued: tuple[ScorableLine, ...], seed: int, definition: Definition) -> Doubt:
    counts = [line.count for line in valued]
    tolerances = [float(line.taxon.tolerance) for line in valued if line.taxon.tolerance is not None]
    return doubt_of(draw_mean(counts, tolerances, TOLERANCES, seed), definition)


def _means_of_draws(lines: tuple[ScorableLine, ...], in_scope: Scope, seed: int) -> NDArray[np.float64]:
    """Score each redrawn catch; one without a valued animal has no mean."""
    draws = redraw(tuple(line.count for line in lines), seed)
    valued = [place for place, line in enumerate(lines) if _is_valued(line, in_scope)]
    tolerances = np.array([lines[place].taxon.tolerance for place in valued], dtype=np.float64)
    animals = draws[:, valued].sum(axis=1)
    means = np.full(len(draws), np.nan)
    np.divide(draws[:, valued] @ tolerances, animals, out=means, where=animals > 0)
    return means


def _reasons_unvalued(
    lines: tuple[ScorableLine, ...], valued_animals: int, definition: Definition
) -> tuple[str, ...]:
    animals = number_of_animals(lines)
    without_value = number_of_animals(line for line in lines if line.taxon.tolerance is None)
    outside = animals - valued_animals - without_value
    reasons = []
    if without_value:
        reasons.append(f"{without_value} of {plural(animals, 'animal')} left out: no tolerance value")
    if 100 * without_value > definition.constants["unvalued_percent_max"] * animals:
        limit = definition.constants["unvalued_percent_max"]
        reasons.append(
            f"more than {limit:f} % of the animals have no value: name them to the family if you can"
        )
    if outside:
        reasons.append(
            f"{outside} of {plural(animals, 'animal')} left out: not among the animals of this index"
        )
    return tuple(reasons)


def _in_core(taxon: Taxon) -> bool:
    return taxon.in_fbi_core


def _in_extended(taxon: Taxon) -> bool:
    return taxon.in_fbi_extended


_CONSTANTS = (*NEEDS, "unvalued_percent_max")
CORE = Index("family-biotic-core", partial(family_biotic_index, in_scope=_in_core), _CONSTANTS)
EXTENDED = Index("family-biotic-extended", partial(family_biotic_index, in_scope=_in_extended), _CONSTANTS)
