"""What an index is: one module that turns a visit's material into a score with its doubt."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from service.science.catch import Catch
from service.science.criterion import Criterion
from service.science.types import Visit


class Standing(StrEnum):
    """How far a score may be trusted; travels with every published score."""

    RATED = "rated"
    PROVISIONAL = "provisional"
    TOO_FEW = "too_few"
    EMPTY = "empty"
    MISSING = "missing"


@dataclass(frozen=True, slots=True)
class Band:
    """A named class of an index: lower <= value <= upper, both inclusive, ``None`` open.

    Bounds have the index's own number of decimals; a value is rounded half up to it before it is compared.
    """

    name: str
    lower: Decimal | None
    upper: Decimal | None


@dataclass(frozen=True, slots=True)
class Definition:
    """The numbered data row behind an index: nothing in it ever changes, a new one gets a new number."""

    index: str
    number: int
    decimals: int
    bands: tuple[Band, ...] = ()
    constants: Mapping[str, Decimal] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Score:
    """One score: ``value`` rounded as the definition says, ``None`` when there is nothing to score.

    ``low`` and ``high`` bound the central 90 % of what the same stretch could have given; ``bands`` holds the
    chance of each band, summing to 1; ``reasons`` say in plain words what limits the score. ``draws`` works
    out the scores of the redrawn catches, not rounded, for an index that is made of this one.
    """

    index: str
    definition: int
    value: float | None
    band: str | None
    standing: Standing
    low: float | None = None
    high: float | None = None
    bands: Mapping[str, float] = field(default_factory=dict)
    reasons: tuple[str, ...] = ()
    inputs: tuple[str, ...] = ("catch",)
    draws: Callable[[], NDArray[np.float64]] | None = field(default=None, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Measured:
    """What an index of the readings works on.

    ``visit`` holds the readings that have not failed; ``doubted`` are the positions of those that are suspect
    and that nobody let stand; ``criteria`` are those that apply to the site on the day.
    """

    visit: Visit
    doubted: frozenset[int] = frozenset()
    criteria: tuple[Criterion, ...] = ()


@dataclass(frozen=True, slots=True)
class ReadingIndex:
    """An index of the readings: its id, the constants its data row must hold, and the function.

    The function takes what was measured, the definition and a seed taken from the visit; it returns ``None``
    where the class did not set out to measure what the index needs.
    """

    id: str
    score: Callable[[Measured, Definition, int], Score | None]
    needs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Index:
    """An index of the catch: its id, the constants its data row must hold, and the function.

    The function takes the catch, the definition and a seed taken from the visit, so that the same visit
    always gets the same numbers.
    """

    id: str
    score: Callable[[Catch, Definition, int], Score]
    needs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SiteIndex:
    """An index of a site over a period, made when asked for: its id and the constants of its data row."""

    id: str
    needs: tuple[str, ...] = ()


AnyIndex = Index | ReadingIndex | SiteIndex
