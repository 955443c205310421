"""Are animals counted twice: once in their order, and once more in their families?

A class that writes mayfly 38, Baetidae 21 and Heptageniidae 12 may mean 38 in all or 38 more. Scores take the
coarse number as more; when it is too small to be the total, it cannot mean anything else. Many classes name
one family of an order and leave the rest at the order, so one finer name alone is no reason to doubt.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from service.science.catch import Catch, CountScheme, Taxon
from service.science.flags import Flag
from service.science.qa.catch_part import present
from service.science.qa.check import Limits, Stage, VisitCheck
from service.science.scores.scorable import ScorableLine, number_of_animals, scorable
from service.science.scores.taxa_richness import names_above_family
from service.science.types import Evidence, Finding, Visit

Names = Mapping[tuple[str, str | None], str]


@dataclass(frozen=True, slots=True)
class _Levels:
    """A coarse record with its animals, and the finer records of the same catch that it holds."""

    coarse: Taxon
    animals: int
    finer: tuple[ScorableLine, ...]

    @property
    def finer_animals(self) -> int:
        return number_of_animals(self.finer)

    @property
    def may_be_total(self) -> bool:
        return self.animals >= self.finer_animals


def run(visit: Visit, limits: Limits) -> Finding | None:
    """Compare the number of each coarse record with the finer ones that belong under it.

    Parameters
    ----------
    visit : its catch, in counts
    limits : ``finer_taxa_min`` [taxa], named under one coarse record, and ``double_percent_min`` [% of the
        catch], that would be counted twice; from both on, a possible total is suspect

    Returns
    -------
    Finding or None
        3 when a coarse number is not smaller than the sum of enough finer ones; else 1, with the question or
        with what is taken as left over; ``None`` without a catch and for letters, which are no totals.
    """
    if visit.catch is None or visit.catch.scheme is not CountScheme.COUNTS:
        return None
    lines = scorable(visit.catch)
    found, names = tuple(_levels(lines)), _written_names(visit.catch)
    enough_by_100 = limits["double_percent_min"] * number_of_animals(lines)
    suspect = any(
        levels.may_be_total
        and len({line.taxon.name for line in levels.finer}) >= limits["finer_taxa_min"]
        and 100 * levels.finer_animals >= enough_by_100
        for levels in found
    )
    evidence: Evidence = {
        "coarse": ", ".join(levels.coarse.name for levels in found),
        "coarse_animals": sum(levels.animals for levels in found),
        "finer_animals": sum(levels.finer_animals for levels in found),
    }
    return Finding(
        Flag.SUSPECT if suspect else Flag.PASS,
        _told(found, names),
        evidence,
        _advice(found, names),
    )


def _levels(lines: Sequence[ScorableLine]) -> Iterator[_Levels]:
    by_name = {line.taxon.name: line.taxon for line in lines}
    for name, taxon in by_name.items():
        finer = tuple(line for line in lines if name in names_above_family(line.taxon, by_name))
        if finer:
            animals = number_of_animals(line for line in lines if line.taxon.name == name)
            yield _Levels(taxon, animals, finer)


def _written_names(catch: Catch) -> Names:
    return {
        (tally.taxon.name, tally.life_stage): tally.written_name
        for tally in present(catch)
        if tally.taxon is not None
    }


def _told(found: Sequence[_Levels], names: Names) -> str:
    if not found:
        return ""
    pairs = "; ".join(
        f"{_listed(levels, levels.animals, names)} beside {_parts(levels, names)}" for levels in found
    )
    doubtful = [_listed(levels, levels.animals, names) for levels in found if levels.may_be_total]
    question = f" Is {', '.join(doubtful)} all of them, or only what was left over?" if doubtful else ""
    return f"Counted as more animals, not named further: {pairs}.{question}"


def _parts(levels: _Levels, names: Names) -> str:
    return ", ".join(f'"{names[line.taxon.name, line.life_stage]}" {line.count}' for line in levels.finer)


def _listed(levels: _Levels, animals: int, names: Names) -> str:
    written = next(name for (taxon, _), name in names.items() if taxon == levels.coarse.name)
    return f'"{written}" {animals}'


def _advice(found: Sequence[_Levels], names: Names) -> str:
    left = [
        _listed(levels, levels.animals - levels.finer_animals, names)
        for levels in found
        if levels.may_be_total
    ]
    if not left:
        return ""
    return (
        f"If that was all of them, send only what is left over: {', '.join(left)}. If it was what was left "
        "over, write that in the notes."
    )


CHECK = VisitCheck(
    id="catch-mixed-levels",
    version=1,
    stage=Stage.CONSISTENCY,
    run=run,
    needs=("finer_taxa_min", "double_percent_min"),
    of_catch=True,
)
