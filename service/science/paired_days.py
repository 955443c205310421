"""Two neighbouring sites on the days on which both were read alike: what lies between them, day by day.

Only readings of the same day and the same way of measuring are held against each other, so that the weather
and the season fall out. Where the hour counts, the two visits nearest in time are taken.
"""

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import product

from service.science.censored_median import Interval, median_interval
from service.science.types import Censoring

MOST_TIME_APART = timedelta(hours=2)  # common practice: beyond it a difference holds the swing of the day


@dataclass(frozen=True, slots=True)
class SiteReading:
    """One usable reading of a site, or one score; numbers in the unit of storage.

    ``low`` and ``high`` bound the true value (infinite where open). ``method`` names what must be the same at
    both sites: the kind of kit; ``None`` where the class did not say. ``step`` is one step of the kit at this
    reading, without a named kit what the finest one could tell apart, ``None`` where there is no such thing.
    ``accuracy`` is how far two boxes of the kit may be off.
    """

    on: date
    at: datetime
    value: float
    censored: Censoring | None
    low: float
    high: float
    method: str | None = None
    step: float | None = None
    accuracy: float = 0.0


@dataclass(frozen=True, slots=True)
class PairedDay:
    """What the lower site read more than the upper one on a day [unit of storage], within bounds.

    ``step`` is the smallest difference that counts on this day [unit of storage], if there is such a thing.
    ``later`` is how long after the upper site the lower one was visited; ``kit_named`` whether the class said
    with which kits it read.
    """

    on: date
    difference: Interval
    step: float | None
    later: timedelta
    kit_named: bool

    @property
    def has_number(self) -> bool:
        """Whether the difference is a number and not only bounds."""
        return self.difference[0] == self.difference[1]

    @property
    def certain(self) -> float:
        """The difference as far as it is certain; 0 where the bounds leave the sign open."""
        low, high = self.difference
        return low if low > 0 else min(high, 0.0)


@dataclass(frozen=True, slots=True)
class PairedDays:
    """The days of a reach in their order, and how many common days were left out, by why."""

    days: tuple[PairedDay, ...]
    other_method: int = 0
    hours_apart: int = 0


def median_of(readings: Iterable[SiteReading]) -> Interval:
    """Return the bounds of the median of readings: of a "<" or ">" its open side counts, else the value."""
    return median_interval(
        (one.low, one.high) if one.censored else (one.value, one.value) for one in readings
    )


def pair_days(
    upstream: Iterable[SiteReading],
    downstream: Iterable[SiteReading],
    *,
    same_hour: bool,
    same_school: bool,
) -> PairedDays:
    """Return the differences downstream less upstream on the days that both sites were read alike.

    Parameters
    ----------
    upstream, downstream : iterable of SiteReading
        Readings of one parameter [one unit].
    same_hour : bool
        Whether the parameter swings with the hour: the two visits nearest in time count alone, and days on
        which they are more than 2 hours apart are left out. Else the medians of the day are compared.
    same_school : bool
        Whether one school reads both sites, so with one box. Then two readings without a named kit count as
        alike. Else the smallest difference that counts is as large as two boxes may be apart.

    Returns
    -------
    PairedDays
        Where two ways of measuring were used at both sites, the one with the finer step counts.
    """
    above, below = _by_day(upstream), _by_day(downstream)
    days: list[PairedDay] = []
    other_method = hours_apart = 0
    for on in sorted(above.keys() & below.keys()):
        upper, lower = _by_method(above[on]), _by_method(below[on])
        shared = [method for method in upper.keys() & lower.keys() if method or same_school]
        pairs = [(upper[method], lower[method]) for method in shared]
        near = [found for pair in pairs if (found := _nearest_visits(*pair) if same_hour else pair)]
        if near:
            days.append(min((_paired_day(*pair, same_school=same_school) for pair in near), key=_by_step))
        elif pairs:
            hours_apart += 1
        else:
            other_method += 1
    return PairedDays(tuple(days), other_method, hours_apart)


def _by_day(readings: Iterable[SiteReading]) -> Mapping[date, list[SiteReading]]:
    grouped: defaultdict[date, list[SiteReading]] = defaultdict(list)
    for reading in readings:
        grouped[reading.on].append(reading)
    return grouped


def _by_method(readings: Iterable[SiteReading]) -> Mapping[str | None, list[SiteReading]]:
    grouped: defaultdict[str | None, list[SiteReading]] = defaultdict(list)
    for reading in readings:
        grouped[reading.method].append(reading)
    return grouped


def _nearest(above: Sequence[SiteReading], below: Sequence[SiteReading]) -> tuple[datetime, datetime]:
    """Return the instants of the two visits nearest in time."""
    return min(product(_instants(above), _instants(below)), key=lambda two: abs(two[0] - two[1]))


def _instants(readings: Iterable[SiteReading]) -> list[datetime]:
    return sorted({one.at for one in readings})


def _nearest_visits(
    above: Sequence[SiteReading], below: Sequence[SiteReading]
) -> tuple[list[SiteReading], list[SiteReading]] | None:
    """Return the readings of the two visits nearest in time, unless even these are too far apart."""
    first, second = _nearest(above, below)
    if abs(first - second) > MOST_TIME_APART:
        return None
    return [one for one in above if one.at == first], [one for one in below if one.at == second]


def _paired_day(
    above: Sequence[SiteReading], below: Sequence[SiteReading], *, same_school: bool
) -> PairedDay:
    upper, lower = median_of(above), median_of(below)
    if upper[0] < upper[1] or lower[0] < lower[1]:
        # Beside an open reading the other is as wide as its kit leaves it: 59 in a tube of 60 may be full.
        upper, lower = _widest(above), _widest(below)
    first, second = _nearest(above, below)
    return PairedDay(
        on=above[0].on,
        difference=(lower[0] - upper[1], lower[1] - upper[0]),
        step=_smallest_that_counts((*above, *below), same_school=same_school),
        later=second - first,
        kit_named=above[0].method is not None,
    )


def _smallest_that_counts(readings: Sequence[SiteReading], *, same_school: bool) -> float | None:
    steps = [one.step for one in readings if one.step is not None]
    if len(steps) < len(readings):
        return None
    return max(steps) if same_school else max(*steps, *(one.accuracy for one in readings))


def _widest(readings: Iterable[SiteReading]) -> Interval:
    return median_interval((one.low, one.high) for one in readings)


def _by_step(day: PairedDay) -> float:
    return math.inf if day.step is None else day.step
