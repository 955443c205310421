"""How the animals of a catch spread over its taxa: largest share, Shannon, Simpson and evenness.

All four take the taxa of :func:`taxa_richness`, families where the record allows it. They are mostly another
view of richness and of the largest share (Barbour et al. 1999, section 7.4), so none has a rating word.

Reference
---------
Barbour, M.T., Gerritsen, J., Snyder, B.D. & Stribling, J.B. 1999. Rapid Bioassessment Protocols for Use in
Streams and Wadeable Rivers, 2nd ed., EPA 841-B-99-002, Tables 7-1 and 7-2: the largest share rises with
disturbance. Shannon, C.E. 1948. A mathematical theory of communication. Bell System Technical Journal
27:379-423. Simpson, E.H. 1949. Measurement of diversity. Nature 163:688. Pielou, E.C. 1966. The measurement
of diversity in different types of biological collections. Journal of Theoretical Biology 13:131-144 (the last
three from memory).
"""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from service.science.catch import Catch
from service.science.scores.banding import round_half_up
from service.science.scores.diversity_measures import (
    pielou_evenness,
    shannon_entropy,
    simpson_diversity,
)
from service.science.scores.index import Definition, Index, Score, Standing
from service.science.scores.resampling import Doubt, doubt_of, moved_to, redraw
from service.science.scores.scorable import (
    ScorableLine,
    number_of_animals,
    plural,
    reasons_left_out,
    scorable,
)
from service.science.scores.standing import NEEDS, needs_counts, trust_in, unscored
from service.science.scores.taxa_richness import animals_by_taxon
from service.science.scores.unseen import average_animals

_COARSE = "named more coarsely than others of this catch"


@dataclass(frozen=True, slots=True)
class _Spread:
    """A catch by taxon: its scorable lines, and the animals of each taxon."""

    lines: tuple[ScorableLine, ...]
    animals: NDArray[np.float64]

    @property
    def size(self) -> int:
        """Animals of all taxa together."""
        return int(self.animals.sum())


def dominant_percent(catch: Catch, definition: Definition, seed: int) -> Score:
    """Return the share of the most abundant taxon among all scorable animals.

    Animals too coarse for a taxon of their own are in the divisor: they were caught too.

    Parameters
    ----------
    catch : Catch
        Counts of animals; letters cannot be scored.
    definition : Definition
        Decimals, and the constants of ``standing.NEEDS``.
    seed : int
        Seed of the draws.

    Returns
    -------
    Score
        Value [% of animals], above 0 up to 100; the range is about catches of this size.

    Reference
    ---------
    Barbour et al. 1999, Table 7-1, as in the heading of this module.
    """
    lines = scorable(catch)
    if (score := _unscored(catch, definition, lines)) is not None:
        return score
    spread, drawn_animals = _spread(lines), _drawn(lines, seed)
    every = number_of_animals(lines)
    value = 100.0 * float(spread.animals.max()) / every
    shares = 100.0 * drawn_animals.max(axis=1) / every
    doubt = doubt_of(moved_to(value, shares, most=100.0), definition)
    return _score(catch, definition, spread, value, doubt, lambda: shares, every)


def shannon(catch: Catch, definition: Definition, seed: int) -> Score:
    """Return the diversity after Shannon, with the natural logarithm (in bits it is 1.4427 times as much).

    Parameters
    ----------
    catch, definition, seed
        As in :func:`dominant_percent`.

    Returns
    -------
    Score
        Value [nats], 0 for one taxon; the range is about catches of this size.

    Reference
    ---------
    Shannon 1948, as in the heading of this module.
    """
    lines = scorable(catch)
    if (score := _unscored(catch, definition, lines)) is not None:
        return score
    spread = _spread(lines)
    value = float(shannon_entropy(spread.animals))
    plausible = shannon_entropy(average_animals(spread.animals, seed))
    doubt = doubt_of(moved_to(value, plausible), definition)
    return _score(
        catch, definition, spread, value, doubt, lambda: shannon_entropy(_drawn(lines, seed)), spread.size
    )


def simpson(catch: Catch, definition: Definition, seed: int) -> Score:
    """Return the diversity after Simpson: 1 - D, with D the sum of the squared shares.

    Parameters
    ----------
    catch, definition, seed
        As in :func:`dominant_percent`.

    Returns
    -------
    Score
        Value 0 (one taxon) to below 1, without unit; the range is about catches of this size.

    Reference
    ---------
    Simpson 1949, as in the heading of this module.
    """
    lines = scorable(catch)
    if (score := _unscored(catch, definition, lines)) is not None:
        return score
    spread, drawn_animals = _spread(lines), _drawn(lines, seed)
    value = float(simpson_diversity(spread.animals))
    drawn = simpson_diversity(drawn_animals)
    doubt = doubt_of(moved_to(value, drawn, most=1.0), definition)
    return _score(catch, definition, spread, value, doubt, lambda: drawn, spread.size)


def evenness(catch: Catch, definition: Definition, seed: int) -> Score:
    """Return the evenness after Pielou: Shannon as a part of what it is when all taxa are equally many.

    Parameters
    ----------
    catch, definition, seed
        As in :func:`dominant_percent`.

    Returns
    -------
    Score
        Value 0 to 1, without unit, ``None`` for a single taxon; the range is about catches of this size.

    Reference
    ---------
    Pielou 1966, as in the heading of this module.
    """
    lines = scorable(catch)
    if (score := _unscored(catch, definition, lines)) is not None:
        return score
    spread, drawn_animals = _spread(lines), _drawn(lines, seed)
    if len(spread.animals) == 1:
        reasons = ("all animals are of one kind: evenness compares two or more", *reasons_left_out(catch))
        return Score(definition.index, definition.number, None, None, Standing.MISSING, reasons=reasons)
    value = float(pielou_evenness(spread.animals))
    drawn = pielou_evenness(drawn_animals)
    doubt = doubt_of(moved_to(value, drawn, most=1.0), definition)
    return _score(catch, definition, spread, value, doubt, lambda: drawn, spread.size)


def _unscored(catch: Catch, definition: Definition, lines: tuple[ScorableLine, ...]) -> Score | None:
    return needs_counts(catch, definition) or unscored(catch, definition, lines, when_empty=None)


# All four indices look at the same catch, and three of them at the same draws.
@lru_cache(maxsize=4)
def _spread(lines: tuple[ScorableLine, ...]) -> _Spread:
    counts = np.array([[line.count for line in lines]])
    animals = animals_by_taxon(lines, counts)[0].astype(np.float64)
    return _Spread(lines, animals[animals > 0])


@lru_cache(maxsize=4)
def _drawn(lines: tuple[ScorableLine, ...], seed: int) -> NDArray[np.float64]:
    """Return the animals of each taxon in each draw, not writable."""
    drawn = animals_by_taxon(lines, redraw(tuple(line.count for line in lines), seed)).astype(np.float64)
    drawn.flags.writeable = False
    return drawn


def _score(
    catch: Catch,
    definition: Definition,
    spread: _Spread,
    value: float,
    doubt: Doubt,
    draws: Callable[[], NDArray[np.float64]],
    animals: int,
) -> Score:
    """Return the score; ``animals`` are those that it was made of."""
    trust = trust_in(animals, animals, spread.lines, definition)
    coarse = number_of_animals(spread.lines) - animals
    return Score(
        index=definition.index,
        definition=definition.number,
        value=float(round_half_up(Decimal(f"{value:.9f}"), definition.decimals)),
        band=None,
        standing=trust.standing,
        low=doubt.low,
        high=doubt.high,
        draws=draws,
        reasons=(
            *trust.reasons,
            *doubt.reasons,
            *((f"{plural(coarse, 'animal')} left out: {_COARSE}",) if coarse else ()),
            *reasons_left_out(catch),
        ),
    )


DOMINANT_PERCENT = Index("dominant-percent", dominant_percent, NEEDS)
SHANNON = Index("shannon", shannon, NEEDS)
SIMPSON = Index("simpson", simpson, NEEDS)
EVENNESS = Index("evenness", evenness, NEEDS)
