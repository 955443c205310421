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
from service.science.scores.resampling import doubt_of, draw_share, redraw
from service.science.scores.scorable import number_of_animals, reasons_left_out, scorable
from service.science.scores.standing import NEEDS, needs_counts, trust_in, unscored
from service.science.scores.taxa_richness import score_number_of_taxa


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
        Seed of the draws.

    Returns
    -------
    Score
        Value [taxa], 0 for an empty net.

    Reference
    ---------
    Barbour et al. 1999, Table 7-1, as in the heading of this module.
    """
    return score_number_of_taxa(catch, definition, seed, lambda taxon: taxon.ept)


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
        Value [% of animals], without band; the range is about the share in the whole community.

    Reference
    ---------
    Barbour et al. 1999, Table 7-1, as in the heading of this module.
    """
    lines = scorable(catch)
    score = needs_counts(catch, definition) or unscored(catch, definition, lines, when_empty=None)
    if score is not None:
        return score
    counts = tuple(line.count for line in lines)
    animals = sum(counts)
    ept = [place for place, line in enumerate(lines) if line.taxon.ept]
    ept_animals = number_of_animals(lines[place] for place in ept)
    value = float(round_half_up(Decimal(100 * ept_animals) / animals, definition.decimals))
    doubt = doubt_of(100.0 * draw_share(ept_animals, animals, seed), definition)
    low, high = doubt.low or 0.0, doubt.high or 0.0
    trust = trust_in(animals, animals, lines, definition)
    return Score(
        index=definition.index,
        definition=definition.number,
        value=value,
        band=None,
        standing=trust.standing,
        # None of them, or all, belongs to the range whatever the draws say.
        low=min(low, value),
        high=max(high, value),
        draws=lambda: 100.0 * redraw(counts, seed)[:, ept].sum(axis=1) / animals,
        reasons=(*trust.reasons, *reasons_left_out(catch)),
    )


RICHNESS = Index("ept-richness", ept_richness, NEEDS)
PERCENT = Index("ept-percent", ept_percent, NEEDS)
