"""Which lines of a catch may enter a score, and what is said about those that may not."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from service.science.catch import Catch, CountScheme, ScoringUse, Tally, Taxon

_NEVER_SCORED = (ScoringUse.RECORD_ONLY, ScoringUse.EXCLUDE)


@dataclass(frozen=True, slots=True)
class ScorableLine:
    """Animals of one taxon that a score may use. ``count`` is 0 where only the ``letter`` is known."""

    taxon: Taxon
    life_stage: str | None
    count: int
    letter: str | None

    def __hash__(self) -> int:
        """Go by the name of the taxon: its own tables have no hash."""
        return hash((self.taxon.name, self.life_stage, self.count, self.letter))

    @property
    def kind(self) -> str | None:
        """The animal kind of the streamside form, by life stage where the stage decides."""
        return self.taxon.kind_by_stage.get(self.life_stage or "", self.taxon.kind)

    @property
    def group(self) -> int | None:
        """The sensitivity group 1 to 3 of that form, by life stage where the stage decides."""
        return self.taxon.group_by_stage.get(self.life_stage or "", self.taxon.streamside_group)


def scorable(catch: Catch) -> tuple[ScorableLine, ...]:
    """Return the lines with animals of a known taxon that lives in the water and is scored.

    Coarse records (a mayfly of unknown family) stay in: they are animals too, and are taken as what is left
    over beside the finer records, not as their total. The order is by taxon, not as written, so that a score
    that draws at random does not hang on the order of the lines.
    """
    lines = [
        ScorableLine(tally.taxon, tally.life_stage, tally.count or 0, tally.abundance)
        for tally in catch.tallies
        if tally.taxon is not None and is_present(tally) and _is_scored(tally.taxon)
    ]
    return tuple(sorted(lines, key=lambda line: (line.taxon.name, line.life_stage or "", line.count)))


def number_of_animals(lines: Iterable[ScorableLine]) -> int:
    """Return how many animals the lines hold; only counts, letters add nothing."""
    return sum(line.count for line in lines)


def is_present(tally: Tally) -> bool:
    """Return whether a line holds animals: a written count of 0 means looked for and not found."""
    return bool(tally.count) or tally.abundance is not None


def has_animals(catch: Catch) -> bool:
    """Return whether anything at all was found."""
    return any(is_present(tally) for tally in catch.tallies)


def reasons_left_out(catch: Catch) -> tuple[str, ...]:
    """Return in plain words what part of the catch no score can use."""
    present = [tally for tally in catch.tallies if is_present(tally)]
    unknown = [tally for tally in present if tally.taxon is None]
    unscored = [tally for tally in present if tally.taxon is not None and not _is_scored(tally.taxon)]
    reasons = []
    if unknown:
        reasons.append(
            f"{amount_words(catch, unknown)} left out: the name does not tell one kind of animal of the "
            "taxa list"
        )
    if unscored:
        reasons.append(
            f"{amount_words(catch, unscored)} left out: recorded, but of a kind that is not scored"
        )
    return tuple(reasons)


def plural(number: int, noun: str) -> str:
    """Return a number with its noun, such as "1 animal" or "45 animals"."""
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def amount_words(catch: Catch, tallies: Sequence[Tally]) -> str:
    """Return how much lines of a catch hold: "45 animals" where they were counted, else "2 lines"."""
    if catch.scheme is CountScheme.COUNTS:
        return plural(sum(tally.count or 0 for tally in tallies), "animal")
    return plural(len(tallies), "line")


def _is_scored(taxon: Taxon) -> bool:
    return not taxon.terrestrial and taxon.scoring_use not in _NEVER_SCORED
