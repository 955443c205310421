"""Invented communities of a stretch of stream, and the catches that nets bring up from them.

A community is 15 to 50 families of the taxa table, drawn around a tolerance that stands for the water, in
shares that follow a lognormal distribution. Number and spread are set so that catches hold about as many
kinds of the streamside form, and as many of them met once, twice and three times, as 315 real catches of one
class (drawn down to 50, 100, 200 and 400 animals: 6.5 to 10 kinds, 1.8 to 1.4 of them met once). Families are
drawn as they are listed: some have no tolerance, some no kind of the streamside form. A catch takes its
animals at random, one by one, so every animal is as easily caught as any other.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from service.reference.load import load_catalogue
from service.science.catch import Catch, CountScheme, ScoringUse, Tally, Taxon

FEWEST_FAMILIES, MOST_FAMILIES = 15, 50
WATER = (2.5, 7.5)  # tolerance around which the families are drawn
SPREAD_OF_TOLERANCES = 2.0
SPREAD_OF_SHARES = (1.8, 2.6)  # standard deviation of the logarithm
MIDDLE_TOLERANCE = 5.0  # of a family without one

FAMILIES = tuple(
    taxon
    for taxon in load_catalogue().taxa.values()
    if taxon.rank == "family"
    and not taxon.terrestrial
    and taxon.scoring_use in (ScoringUse.SCORE, ScoringUse.RARE)
)


@dataclass(frozen=True)
class Community:
    """The families of a stretch and their shares, which sum to 1."""

    families: tuple[Taxon, ...]
    shares: NDArray[np.float64]

    def catches(self, size: int, number: int, rng: np.random.Generator) -> Iterator[Catch]:
        """Yield catches of as many animals."""
        for counts in rng.multinomial(size, self.shares, size=number):
            yield self._catch(counts)

    def whole(self, size: int) -> Catch:
        """Return the community itself as a catch of so many animals that its shares are all but exact."""
        return self._catch(np.rint(self.shares * size).astype(np.int64))

    def _catch(self, counts: NDArray[np.int64]) -> Catch:
        tallies = tuple(
            Tally(family.name, family, int(count))
            for family, count in zip(self.families, counts, strict=True)
            if count
        )
        return Catch(CountScheme.COUNTS, tallies)


def invent_community(rng: np.random.Generator) -> Community:
    """Return a community."""
    number = int(rng.integers(FEWEST_FAMILIES, MOST_FAMILIES + 1))
    tolerances = [
        MIDDLE_TOLERANCE if family.tolerance is None else float(family.tolerance) for family in FAMILIES
    ]
    weights = np.exp(-0.5 * ((np.array(tolerances) - rng.uniform(*WATER)) / SPREAD_OF_TOLERANCES) ** 2)
    places = rng.choice(len(FAMILIES), number, replace=False, p=weights / weights.sum())
    sizes = rng.lognormal(0.0, rng.uniform(*SPREAD_OF_SHARES), number)
    return Community(tuple(FAMILIES[place] for place in places), sizes / sizes.sum())
