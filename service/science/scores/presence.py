"""Presence indices: kinds of animals in four groups, from the most sensitive (4) to the most tolerant (1).

Only whether a kind is present counts. The sum of the weights rewards many kinds, so it grows with effort; the
mean weight ignores how many there are. One catch can be two classes apart in the two.

Reference
---------
Four-group lists in use in school programmes, which have no single owner; membership differs from list to
list, so a value compares only within this one. Weights partly second-hand, bands from memory.
"""

from service.science.catch import Catch
from service.science.scores.index import Definition, Index, Score
from service.science.scores.points import Unit, lines_left_out, score_points
from service.science.scores.scorable import ScorableLine, scorable
from service.science.scores.standing import NEEDS

SPAN = (1.0, 4.0)  # fewest and most points of the list


def presence_sum(catch: Catch, definition: Definition, seed: int) -> Score:
    """Return the weights 4 to 1 of all kinds present, added.

    Parameters
    ----------
    catch : Catch
        Counts, or letters R, C, D, P: only presence counts.
    definition : Definition
        Bands, decimals, and the constants of ``standing.NEEDS``.
    seed : int
        Seed of the draws.

    Returns
    -------
    Score
        Value [points], 0 for an empty net.

    Reference
    ---------
    As in the heading of this module.
    """
    return score_points(
        catch, definition, seed, unit_of=_kind, as_mean=False, span=SPAN, reasons=_reasons(catch)
    )


def presence_mean(catch: Catch, definition: Definition, seed: int) -> Score:
    """Return the mean weight of the kinds present.

    Parameters
    ----------
    catch : Catch
        Counts, or letters R, C, D, P: only presence counts.
    definition : Definition
        Bands, decimals, and the constants of ``standing.NEEDS``.
    seed : int
        Seed of the draws.

    Returns
    -------
    Score
        Value 1 to 4 [points per kind].

    Reference
    ---------
    As in the heading of this module.
    """
    return score_points(
        catch, definition, seed, unit_of=_kind, as_mean=True, span=SPAN, reasons=_reasons(catch)
    )


def _kind(line: ScorableLine) -> Unit | None:
    kind, weight = line.taxon.presence_kind, line.taxon.presence_weight
    return None if kind is None or weight is None else Unit(kind, weight)


def _reasons(catch: Catch) -> tuple[str, ...]:
    without = [line for line in scorable(catch) if _kind(line) is None]
    return lines_left_out(catch, without, "no kind of this list, or too coarse to tell which")


SUM = Index("presence-sum", presence_sum, NEEDS)
MEAN = Index("presence-mean", presence_mean, NEEDS)
