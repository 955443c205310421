"""Taxa richness: how many different families (or the coarser group, where no family was named) were found.

Reference
---------
Barbour, M.T., Gerritsen, J., Snyder, B.D. & Stribling, J.B. 1999. Rapid Bioassessment Protocols for Use in
Streams and Wadeable Rivers, 2nd ed., EPA 841-B-99-002, Tables 7-1 and 7-2: total taxa fall with disturbance.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from service.science.catch import Catch, ScoringUse, Taxon
from service.science.scores.effort import reasons_of_effort
from service.science.scores.index import Definition, Index, Score
from service.science.scores.resampling import redraw
from service.science.scores.scorable import ScorableLine, number_of_animals, reasons_left_out, scorable
from service.science.scores.standing import NEEDS, needs_counts, trust_in, unscored

_BELOW_FAMILY = frozenset({"subfamily", "tribe", "genus", "subgenus", "species", "informal"})


def distinct_taxa(lines: Iterable[ScorableLine]) -> frozenset[str]:
    """Return the names of the different taxa, each once, and none beside a finer record of its own.

    Stages, colour forms and genera of one family are that family. A coarse record (mayfly) goes when a finer
    one under it (Baetidae) is present: by what the finer one rolls up to, by its order, or, for groups that
    gather several families (net-spinning caddisflies), by being the same kind of animal.

    Parameters
    ----------
    lines : iterable of ScorableLine
        Lines of the catch that may be scored.

    Returns
    -------
    frozenset of str
        Names, at family level where the record allows it.
    """
    present = tuple(lines)
    by_name = {line.taxon.name: line.taxon for line in present}
    families = {_family_of(taxon, by_name) for taxon in by_name.values()}
    above = {name for taxon in by_name.values() for name in names_above_family(taxon, by_name)}
    finer_kinds = {line.kind for line in present if not _is_coarse(line.taxon)} - {None}
    covered = {line.taxon.name for line in present if _is_coarse(line.taxon) and line.kind in finer_kinds}
    return frozenset(families - above - covered)


def taxa_in_draws(lines: Sequence[ScorableLine], draws: NDArray[np.int64]) -> NDArray[np.float64]:
    """Return the number of different taxa of each draw, by the rules of :func:`distinct_taxa`.

    Parameters
    ----------
    lines : sequence of ScorableLine
        Lines of the catch.
    draws : array
        One row a draw, one column a line, each the animals drawn.

    Returns
    -------
    array
        Taxa of each draw; never more than the catch has, as no draw finds what the net missed.
    """
    return np.asarray(np.count_nonzero(animals_by_taxon(lines, draws), axis=1), dtype=np.float64)


def animals_by_taxon(lines: Sequence[ScorableLine], draws: NDArray[np.int64]) -> NDArray[np.float32]:
    """Return the animals of each taxon in each draw, by the rules of :func:`distinct_taxa`.

    Parameters
    ----------
    lines : sequence of ScorableLine
        Lines of the catch.
    draws : array
        One row a draw, one column a line, each the animals drawn.

    Returns
    -------
    array
        One row a draw, one column a taxon of any draw; 0 where it is missing or only coarser than another.
    """
    by_name = {line.taxon.name: line.taxon for line in lines}
    families = [_family_of(line.taxon, by_name) for line in lines]
    place = {family: number for number, family in enumerate(dict.fromkeys(families))}
    coarse = [(line.taxon.name, line.kind) for line in lines if _is_coarse(line.taxon) and line.kind]
    # Single precision is exact for these small counts, and quick to multiply.
    shows = np.zeros((len(lines), len(place)), dtype=np.float32)
    hides = np.zeros_like(shows)
    for number, (line, family) in enumerate(zip(lines, families, strict=True)):
        shows[number, place[family]] = 1
        hidden = names_above_family(line.taxon, by_name)
        if not _is_coarse(line.taxon):
            hidden |= {name for name, kind in coarse if kind == line.kind}
        hides[number, [place[name] for name in hidden if name in place]] = 1
    animals = draws.astype(np.float32)
    return np.where(animals @ hides > 0, np.float32(0), animals @ shows)


def names_above_family(taxon: Taxon, by_name: Mapping[str, Taxon]) -> set[str]:
    """Return the names of the coarser records that hold a taxon: its order and all it rolls up to.

    Its own family is not among them; ``by_name`` are the taxa of the catch, which the climb goes by.
    """
    family = _family_of(taxon, by_name)
    names = {taxon.order}
    here = by_name.get(family)
    while here is not None and here.rolls_up_to is not None:
        names.add(here.rolls_up_to)
        here = by_name.get(here.rolls_up_to)
    return names - {family}


def taxa_richness(catch: Catch, definition: Definition, seed: int) -> Score:
    """Return the number of different taxa, families where the record allows it.

    There is no band and no range: richness grows with the number of animals, so it compares only between
    catches of the same effort, and drawing a catch again can lose taxa but never find the missed ones.

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
    return score_number_of_taxa(catch, definition, seed)


def score_number_of_taxa(
    catch: Catch,
    definition: Definition,
    seed: int,
    is_counted: Callable[[Taxon], bool] = lambda _: True,
) -> Score:
    """Return the number of taxa that are counted, with the standing that all scorable animals give it."""
    lines = scorable(catch)
    score = needs_counts(catch, definition) or unscored(catch, definition, lines, when_empty=0.0)
    if score is not None:
        return score
    animals = number_of_animals(lines)
    trust = trust_in(animals, animals, lines, definition)
    counts = tuple(line.count for line in lines)
    columns = [place for place, line in enumerate(lines) if is_counted(line.taxon)]
    counted = [lines[place] for place in columns]
    return Score(
        index=definition.index,
        definition=definition.number,
        value=float(len(distinct_taxa(counted))),
        band=None,
        standing=trust.standing,
        reasons=(*trust.reasons, *reasons_of_effort(catch), *reasons_left_out(catch)),
        draws=lambda: taxa_in_draws(counted, redraw(counts, seed)[:, columns]),
    )


def _is_coarse(taxon: Taxon) -> bool:
    return taxon.scoring_use is ScoringUse.COARSE


def _family_of(taxon: Taxon, by_name: Mapping[str, Taxon]) -> str:
    """Climb to the family as far as the records of the catch and their own ``rolls_up_to`` reach."""
    name, here = taxon.name, taxon
    while here.rank in _BELOW_FAMILY and not _is_coarse(here) and here.rolls_up_to is not None:
        name = here.rolls_up_to
        if name not in by_name:
            break
        here = by_name[name]
    return name


INDEX = Index("taxa-richness", taxa_richness, NEEDS)
