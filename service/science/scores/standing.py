"""How far a score of the catch may be trusted, from the number of animals it was made of."""

from collections.abc import Iterable
from dataclasses import dataclass

from service.science.catch import Catch, CountScheme
from service.science.scores.index import Definition, Score, Standing
from service.science.scores.scorable import ScorableLine, has_animals, plural, reasons_left_out

NEEDS = ("animals_wanted", "animals_provisional", "orders_wanted")


@dataclass(frozen=True, slots=True)
class Trust:
    """The standing, whether a rating word may be given, and what limits the score."""

    standing: Standing
    may_rate: bool
    reasons: tuple[str, ...]


def trust_in(fewest: int, most: int | None, lines: Iterable[ScorableLine], definition: Definition) -> Trust:
    """Return how far a score made of these animals may be trusted.

    100 animals or more are rated, 30 to 99 provisional, 1 to 29 too few (the numbers are constants of the
    definition). Too few withholds the rating word. So does a catch of a single order: a class that was told
    to count mayflies only has not looked at the whole community, and the catch cannot tell the difference.

    Parameters
    ----------
    fewest, most : int
        Smallest and largest number of animals the score was made of; equal for counts, apart for letters,
        ``most`` is ``None`` when it is open.
    lines : iterable of ScorableLine
        All scorable lines of the catch, also those this score does not use.
    definition : Definition
        Holds ``animals_wanted``, ``animals_provisional`` and ``orders_wanted``.

    Returns
    -------
    Trust
        The standing and its reasons.
    """
    wanted, provisional, orders_wanted = (int(definition.constants[name]) for name in NEEDS)
    reasons: list[str] = []
    standing = Standing.RATED
    if fewest < wanted:
        too_few = most is not None and most < provisional
        standing = Standing.TOO_FEW if too_few else Standing.PROVISIONAL
        at_least = "" if most == fewest else "at least "
        reasons.append(f"{at_least}{plural(fewest, 'animal')}; {wanted} wanted")
    orders = {line.taxon.order for line in lines}
    if len(orders) < orders_wanted:
        standing = Standing.PROVISIONAL if standing is Standing.RATED else standing
        named = ", ".join(sorted(orders))
        reasons.append(
            f"only {named} in the catch: no rating word, as the other animals may not have been counted"
        )
    may_rate = standing is not Standing.TOO_FEW and len(orders) >= orders_wanted
    return Trust(standing, may_rate, tuple(reasons))


def unscored(
    catch: Catch, definition: Definition, lines: tuple[ScorableLine, ...], *, when_empty: float | None
) -> Score | None:
    """Return the score of a catch that the index cannot work on, ``None`` when it can.

    "Sampled and no animal found" is a result, and an alarming one: it has the standing ``empty``, never a
    rating word. Animals that the index cannot use at all give ``missing``.

    Parameters
    ----------
    catch : Catch
        The whole catch.
    definition : Definition
        Of the index that asks.
    lines : tuple of ScorableLine
        The lines that this index can use.
    when_empty : float or None
        What the index is worth without animals: 0 for a number of kinds, ``None`` where it is not defined.

    Returns
    -------
    Score or None
    """
    if not has_animals(catch):
        reason = (
            "the net was used and no animal was found: check the net, try another spot, tell your coordinator"
        )
        return Score(definition.index, definition.number, when_empty, None, Standing.EMPTY, reasons=(reason,))
    if lines:
        return None
    reasons = ("no animal of this catch can be used by this index", *reasons_left_out(catch))
    return Score(definition.index, definition.number, None, None, Standing.MISSING, reasons=reasons)


def only_some_counted(catch: Catch, definition: Definition) -> Score | None:
    """Return the score ``missing`` for a class that counted only some groups of animals; else ``None``."""
    if not catch.counted_only:
        return None
    *others, last = catch.counted_only
    groups = f"{', '.join(others)} and {last}" if others else last
    reason = f"only {groups} were counted: a score of the whole community needs all animals"
    return Score(definition.index, definition.number, None, None, Standing.MISSING, reasons=(reason,))


def needs_counts(catch: Catch, definition: Definition) -> Score | None:
    """Return the score ``missing`` for animals in letters, which are classes and no counts; else ``None``."""
    if catch.scheme is CountScheme.COUNTS or not has_animals(catch):
        return None
    return Score(definition.index, definition.number, None, None, Standing.MISSING, reasons=("needs counts",))
