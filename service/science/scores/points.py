"""Points for what is present: each unit of a list earns its points once, however many animals it holds.

A unit is what a list scores: a family, or a kind of animal. The points are added, or their mean is taken. The
two answer different questions (the sum grows with every unit found, the mean does not) and are never mixed.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import partial

import numpy as np
from numpy.typing import NDArray

from service.science.catch import Catch, CountScheme
from service.science.scores.banding import band_of, round_half_up
from service.science.scores.index import Definition, Score
from service.science.scores.resampling import Doubt, doubt_of, moved_to, redraw
from service.science.scores.scorable import (
    ScorableLine,
    number_of_animals,
    plural,
    reasons_left_out,
    scorable,
)
from service.science.scores.standing import trust_in, unscored
from service.science.scores.streamside_survey import NO_RANGE
from service.science.scores.unseen import MISSED_PER_KIND, ONE_OF_TWO_NETS, other_nets

# Fewest and most animals behind a letter; the scheme "rcd-1-10-100" bears the bounds in its name, and P says
# only that there was one.
_ANIMALS_OF_LETTER: dict[str, tuple[int, int | None]] = {
    "R": (1, 9),
    "C": (10, 99),
    "D": (100, None),
    "P": (1, None),
}


@dataclass(frozen=True, slots=True)
class Unit:
    """What a list scores, with its points."""

    name: str
    points: int


UnitOf = Callable[[ScorableLine], Unit | None]


def score_points(
    catch: Catch,
    definition: Definition,
    seed: int,
    *,
    unit_of: UnitOf,
    as_mean: bool,
    span: tuple[float, float],
    reasons: tuple[str, ...],
) -> Score:
    """Return the sum, or the mean, of the points of the units present.

    A line without a unit is in neither sum nor divisor. Letters are enough, as only presence counts, but give
    no range. The range from counts is about catches of this size, whatever units this net has missed.

    Parameters
    ----------
    catch : Catch
        Counts, or letters R, C, D, P.
    definition : Definition
        Bands, decimals, and the constants of ``standing.NEEDS``.
    seed : int
        Seed of the draws.
    unit_of : callable
        Unit of a line, ``None`` for one that the list does not hold.
    as_mean : bool
        Whether the points are divided by the number of units.
    reasons : tuple of str
        What the index itself has to say about this catch.

    Returns
    -------
    Score
        Value [points]; of an empty net 0 as a sum, ``None`` as a mean.
    """
    lines = scorable(catch)
    listed = tuple(line for line in lines if unit_of(line) is not None)
    score = unscored(catch, definition, listed, when_empty=None if as_mean else 0.0)
    if score is not None:
        return replace(score, reasons=(*score.reasons, *reasons))
    units = tuple(sorted({unit for line in listed if (unit := unit_of(line))}, key=lambda unit: unit.name))
    points = Decimal(sum(unit.points for unit in units))
    value = round_half_up(points / len(units) if as_mean else points, definition.decimals)
    doubt = (
        _doubt(listed, unit_of, units, seed, definition, as_mean, span) if _is_counted(catch) else NO_RANGE
    )
    trust = trust_in(*_fewest_and_most(catch, listed), lines, definition)
    return Score(
        index=definition.index,
        definition=definition.number,
        value=float(value),
        band=band_of(value, definition.bands) if trust.may_rate else None,
        standing=trust.standing,
        low=doubt.low,
        high=doubt.high,
        draws=partial(_points_of_draws, lines, unit_of, units, seed, as_mean) if _is_counted(catch) else None,
        bands=doubt.bands if trust.may_rate else {},
        reasons=(
            *trust.reasons,
            *doubt.reasons,
            *reasons,
            *reasons_left_out(catch),
        ),
    )


def lines_left_out(catch: Catch, lines: Sequence[ScorableLine], why: str) -> tuple[str, ...]:
    """Return in plain words how much lines hold that an index leaves out, why, and which taxa they are."""
    if not lines:
        return ()
    counted = _is_counted(catch)
    amount = plural(number_of_animals(lines), "animal") if counted else plural(len(lines), "line")
    names = ", ".join(sorted({line.taxon.name for line in lines}))
    return (f"{amount} left out: {why} ({names})",)


def _is_counted(catch: Catch) -> bool:
    return catch.scheme is CountScheme.COUNTS


def _fewest_and_most(catch: Catch, lines: tuple[ScorableLine, ...]) -> tuple[int, int | None]:
    if _is_counted(catch):
        animals = number_of_animals(lines)
        return animals, animals
    unknown = {line.letter for line in lines if line.letter not in _ANIMALS_OF_LETTER}
    if unknown:
        raise ValueError(f"{unknown} are not among the letters R, C, D, P")
    bounds = [_ANIMALS_OF_LETTER[line.letter] for line in lines if line.letter is not None]
    mosts = [most for _, most in bounds if most is not None]
    return sum(fewest for fewest, _ in bounds), sum(mosts) if len(mosts) == len(bounds) else None


def _doubt(
    listed: tuple[ScorableLine, ...],
    unit_of: UnitOf,
    units: tuple[Unit, ...],
    seed: int,
    definition: Definition,
    as_mean: bool,
    span: tuple[float, float],
) -> Doubt:
    """Draw what catches of this size score on average from what other nets like this one would score.

    Of the units that this net missed, two stand beside each met one and are worth the same points.
    """
    animals = dict.fromkeys(units, 0)
    for line in listed:
        if (unit := unit_of(line)) is not None:
            animals[unit] += line.count
    worths = np.array([unit.points for unit in units], dtype=np.float64)
    met, missed = np.split(other_nets(tuple(animals.values()), (1,), seed), [len(units)], axis=1)
    if not as_mean:
        points = met @ worths + missed @ np.tile(worths, MISSED_PER_KIND)
        return doubt_of(moved_to(worths.sum(), points, width=ONE_OF_TWO_NETS), definition)
    any_worth = np.random.default_rng(seed + 2).uniform(*span, size=missed.shape)
    points = met @ worths + (missed * any_worth).sum(axis=1)
    found = met.sum(axis=1) + missed.sum(axis=1)
    means = np.full(len(points), np.nan)
    np.divide(points, found, out=means, where=found > 0)
    return doubt_of(
        moved_to(worths.mean(), means, width=ONE_OF_TWO_NETS, least=span[0], most=span[1]), definition
    )


def _points_of_draws(
    lines: tuple[ScorableLine, ...], unit_of: UnitOf, units: tuple[Unit, ...], seed: int, as_mean: bool
) -> NDArray[np.float64]:
    """Score each redrawn catch, for an index that looks at several scores of one draw."""
    belongs = np.zeros((len(lines), len(units)), dtype=np.int64)
    for place, line in enumerate(lines):
        if (unit := unit_of(line)) is not None:
            belongs[place, units.index(unit)] = 1
    present = redraw(tuple(line.count for line in lines), seed) @ belongs > 0
    points = present.astype(np.float64) @ np.array([unit.points for unit in units], dtype=np.float64)
    if not as_mean:
        return points
    means = np.full(len(points), np.nan)
    np.divide(points, present.sum(axis=1), out=means, where=present.any(axis=1))
    return means
