"""Mayflies, stoneflies and caddisflies (EPT): how many families of them, and what share of the animals.

Reference
---------
Barbour, M.T., Gerritsen, J., Snyder, B.D. & Stribling, J.B. 1999. Rapid Bioassessment Protocols for Use in
Streams and Wadeable Rivers, 2nd ed., EPA 841-B-99-002, Tables 7-1 and 7-2: both fall with disturbance.
"""

from decimal import Decimal

from service.science.catch import Catch
from service.science.scores.banding import round_half_up
from service.science.scores.index import Definition, Index, Score
from service.science.scores.resampling import doubt_of, redraw
from service.science.scores.scorable import number_of_animals, reasons_left_out, scorable
from service.science.scores.standing import NEEDS, needs_counts, trust_in, unscored
from service.science.scores.taxa_richness import distinct_taxa, score_number_of_taxa


def ept_richness(catch: Catch, definition: Definition, seed: int) -> Score:
    """Return the number of different mayfly, stonefly and caddisfly families.

    No band and no range, for the reasons of :func:`taxa_richness`.

    Parameters
    ----------
    catch : Catch
        Counts of animals; letters cannot be scored.
    definition : Definition
        Decimals, and the constants of ``standing.NEEDS``.
    seed : int
        Not used.

    Returns
    -------
    Score
        Value [taxa], 0 for an empty net.

    Reference
    ---------
    Barbour et al. 1999, Table 7-1, as in the heading of this module.
    """
    lines = scorable(catch)
    ept_taxa = distinct_taxa(line for line in lines if line.taxon.ept)
    return score_number_of_taxa(catch, definition, lines, len(ept_taxa))


def ept_percent(catch: Catch, definition: Definition, seed: int) -> Score:
    """Return the share of mayflies, stoneflies and caddisflies among all scorable animals.

    Animals named no finer than their order count on both sides: a mayfly of unknown family is a mayfly.

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
        Value [% of animals], without band; the range is the middle 90 % of the draws.

    Reference
    ---------
    Barbour et al. 1999, Table 7-1, as in the heading of this module.
    """
    lines = scorable(catch)
    score = needs_counts(catch, definition) or unscored(catch, definition, lines, when_empty=None)
    if score is not None:
        return score
    animals = number_of_animals(lines)
    ept = [place for place, line in enumerate(lines) if line.taxon.ept]
    ept_animals = number_of_animals(lines[place] for place in ept)
    draws = redraw(tuple(line.count for line in lines), seed)
    doubt = doubt_of(100.0 * draws[:, ept].sum(axis=1) / animals, definition)
    trust = trust_in(animals, animals, lines, definition)
    return Score(
        index=definition.index,
        definition=definition.number,
        value=float(round_half_up(Decimal(100 * ept_animals) / animals, definition.decimals)),
        band=None,
        standing=trust.standing,
        low=doubt.low,
        high=doubt.high,
        reasons=(*trust.reasons, *doubt.reasons, *reasons_left_out(catch)),
    )


RICHNESS = Index("ept-richness", ept_richness, NEEDS)
PERCENT = Index("ept-percent", ept_percent, NEEDS)
