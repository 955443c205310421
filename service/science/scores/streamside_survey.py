"""Streamside survey: kinds of animals, coded rare, common or dominant, in three groups of sensitivity.

The score counts kinds, not animals: one stonefly earns as much as nine. Tolerant kinds add points too, and a
kind that swamps the sample earns less. It grows with effort and compares only within one list of kinds.

Reference
---------
US EPA 1997. Volunteer Stream Monitoring: A Methods Manual, EPA 841-B-97-003, section 4.2 (from memory).
"""

from collections.abc import Mapping
from decimal import Decimal
from functools import partial

import numpy as np
from numpy.typing import NDArray

from service.science.catch import Catch, CountScheme
from service.science.scores.banding import band_of, round_half_up
from service.science.scores.effort import is_subsample, sorted_words
from service.science.scores.index import Definition, Index, Score, Standing
from service.science.scores.resampling import Doubt, doubt_of, moved_to, redraw
from service.science.scores.scorable import (
    ScorableLine,
    number_of_animals,
    plural,
    reasons_left_out,
    scorable,
)
from service.science.scores.standing import NEEDS, Trust, trust_in, unscored
from service.science.scores.unseen import ONE_OF_TWO_NETS, other_nets

GROUPS = (1, 2, 3)
CLASSES = ("rare", "common", "dominant")
CLASS_OF_LETTER = {"R": 0, "C": 1, "D": 2}
NO_RANGE = Doubt(reasons=("no range: nobody wrote how many animals there were",))

Kind = tuple[int, str]


def streamside_survey(catch: Catch, definition: Definition, seed: int) -> Score:
    """Return the sum of the factors of all kinds, each by its group and its class of abundance.

    Families of one kind are added before the class is taken. Letters are taken as they are; when a kind has
    two, the larger counts. There is no range from letters, which do not tell the number of animals. The range
    from counts is about what catches of this size from this stretch give on average. Classes of a subsample
    cannot be compared with those of a whole sample: it gets no rating word.

    Parameters
    ----------
    catch : Catch
        Counts, or the letters R, C, D of the scheme 1, 10, 100.
    definition : Definition
        Bands, decimals, and the constants of :data:`INDEX`.
    seed : int
        Seed of the draws.

    Returns
    -------
    Score
        Value [points], 0 for an empty net.

    Reference
    ---------
    US EPA 1997, section 4.2, as in the heading of this module.
    """
    scorable_lines = scorable(catch)
    lines = tuple(line for line in scorable_lines if _kind_of(line) is not None)
    score = unscored(catch, definition, lines, when_empty=0.0) or _needs_classes(catch, definition)
    if score is not None:
        return score
    has_counts = catch.scheme is CountScheme.COUNTS
    classes = _classes_from_counts(lines, definition) if has_counts else _classes_from_letters(lines)
    points = sum((_factor(kind, place, definition) for kind, place in classes.items()), Decimal(0))
    value = round_half_up(points, definition.decimals)
    doubt = _doubt(lines, float(points), seed, definition) if has_counts else NO_RANGE
    trust = trust_in(*_fewest_and_most(lines, classes, definition, has_counts), scorable_lines, definition)
    trust = _trust_in_subsample(trust, catch) if is_subsample(catch) else trust
    return Score(
        index=definition.index,
        definition=definition.number,
        value=float(value),
        band=band_of(value, definition.bands) if trust.may_rate else None,
        standing=trust.standing,
        low=doubt.low,
        high=doubt.high,
        draws=partial(_points_of_draws, scorable_lines, tuple(classes), seed, definition)
        if has_counts
        else None,
        bands=doubt.bands if trust.may_rate else {},
        reasons=(
            *trust.reasons,
            *(() if has_counts else doubt.reasons),
            *_reasons_without_kind(scorable_lines, has_counts),
            *reasons_left_out(catch),
        ),
    )


def _needs_classes(catch: Catch, definition: Definition) -> Score | None:
    if catch.scheme is not CountScheme.PRESENCE:
        return None
    reason = "needs counts, or the letters R, C and D: what was found does not say how many there were"
    return Score(definition.index, definition.number, None, None, Standing.MISSING, reasons=(reason,))


def _kind_of(line: ScorableLine) -> Kind | None:
    return None if line.kind is None or line.group is None else (line.group, line.kind)


def _animals_by_kind(lines: tuple[ScorableLine, ...]) -> dict[Kind, int]:
    animals: dict[Kind, int] = {}
    for line in lines:
        if (kind := _kind_of(line)) is not None:
            animals[kind] = animals.get(kind, 0) + line.count
    return animals


def _classes_from_counts(lines: tuple[ScorableLine, ...], definition: Definition) -> dict[Kind, int]:
    bounds = _class_bounds(definition)
    return {
        kind: sum(count >= bound for bound in bounds) - 1 for kind, count in _animals_by_kind(lines).items()
    }


def _classes_from_letters(lines: tuple[ScorableLine, ...]) -> dict[Kind, int]:
    classes: dict[Kind, int] = {}
    for line in lines:
        if (kind := _kind_of(line)) is not None:
            if line.letter not in CLASS_OF_LETTER:
                raise ValueError(f"{line.letter} is not one of the letters R, C, D")
            classes[kind] = max(classes.get(kind, 0), CLASS_OF_LETTER[line.letter])
    return classes


def _class_bounds(definition: Definition) -> tuple[int, int, int]:
    """Smallest number of animals of each class."""
    return 1, int(definition.constants["common_from"]), int(definition.constants["dominant_from"])


def _factor(kind: Kind, place: int, definition: Definition) -> Decimal:
    return definition.constants[f"group_{kind[0]}_{CLASSES[place]}"]


def _fewest_and_most(
    lines: tuple[ScorableLine, ...], classes: Mapping[Kind, int], definition: Definition, has_counts: bool
) -> tuple[int, int | None]:
    if has_counts:
        animals = number_of_animals(lines)
        return animals, animals
    bounds = _class_bounds(definition)
    fewest = sum(bounds[place] for place in classes.values())
    if 2 in classes.values():
        return fewest, None
    return fewest, sum(bounds[place + 1] - 1 for place in classes.values())


def _doubt(lines: tuple[ScorableLine, ...], points: float, seed: int, definition: Definition) -> Doubt:
    """Draw what catches of this size score on average from what other nets like this one would score.

    A kind that this net missed counts like a rare one among those that it met.
    """
    animals = _animals_by_kind(lines)
    factors = _factor_table(tuple(animals), definition)
    reached = other_nets(tuple(animals.values()), _class_bounds(definition), seed)
    met, missed = np.split(reached, [len(animals)], axis=1)
    of_met = _looked_up(factors, met).sum(axis=1)
    of_missed = np.count_nonzero(missed, axis=1) * factors[:, 1].mean()
    return doubt_of(moved_to(points, of_met + of_missed, width=ONE_OF_TWO_NETS), definition)


def _points_of_draws(
    lines: tuple[ScorableLine, ...], kinds: tuple[Kind, ...], seed: int, definition: Definition
) -> NDArray[np.float64]:
    """Score each redrawn catch."""
    draws = redraw(tuple(line.count for line in lines), seed)
    belongs = np.zeros((len(lines), len(kinds)), dtype=np.int64)
    for place, line in enumerate(lines):
        if (kind := _kind_of(line)) is not None:
            belongs[place, kinds.index(kind)] = 1
    animals = draws @ belongs
    reached = np.zeros_like(animals)
    for bound in _class_bounds(definition):
        reached += animals >= bound
    return np.asarray(_looked_up(_factor_table(kinds, definition), reached).sum(axis=1))


def _factor_table(kinds: tuple[Kind, ...], definition: Definition) -> NDArray[np.float64]:
    """One row a kind; one column for no animal, which has no factor, and for each class."""
    return np.array(
        [[0.0, *(float(_factor(kind, place, definition)) for place in range(len(CLASSES)))] for kind in kinds]
    )


def _looked_up(factors: NDArray[np.float64], reached: NDArray[np.int64]) -> NDArray[np.float64]:
    """Return the factor of each kind (column) in each draw (row) by how many bounds of classes it reaches."""
    return np.asarray(factors[np.arange(len(factors)), reached])


def _trust_in_subsample(trust: Trust, catch: Catch) -> Trust:
    reason = (
        f"only {sorted_words(catch)} was sorted: rare, common and dominant then mean something else, so no "
        "rating word"
    )
    standing = Standing.PROVISIONAL if trust.standing is Standing.RATED else trust.standing
    return Trust(standing, may_rate=False, reasons=(*trust.reasons, reason))


def _reasons_without_kind(lines: tuple[ScorableLine, ...], has_counts: bool) -> tuple[str, ...]:
    without = [line for line in lines if _kind_of(line) is None]
    if not without:
        return ()
    amount = plural(number_of_animals(without), "animal") if has_counts else plural(len(without), "line")
    return (f"{amount} left out: no kind of this survey's list",)


INDEX = Index(
    "streamside-survey",
    streamside_survey,
    (
        *(f"group_{group}_{name}" for group in GROUPS for name in CLASSES),
        "common_from",
        "dominant_from",
        *NEEDS,
    ),
)
