"""A reach between two neighbouring sites of a stream, and what its paired days say."""

from dataclasses import dataclass
from enum import StrEnum
from math import isinf
from statistics import median

from service.science.censored_median import Interval
from service.science.paired_days import PairedDays
from service.science.paired_tests import Signs


class Verdict(StrEnum):
    """What is said of a reach."""

    CHANGES = "changes here"
    NO_CHANGE = "no change shown"
    NOT_ENOUGH_DAYS = "not enough days"
    SMALLER_THAN_A_STEP = "smaller than one kit step"


@dataclass(frozen=True, slots=True)
class Size:
    """The middle difference and its bounds [unit of storage]; infinite where open readings leave it open.

    ``certain`` is the middle of what is certain of each day's difference, 0 on a day whose sign is open;
    ``certain_steps`` the same in steps of the day's coarser kit, ``None`` where there are no steps.
    """

    middle: Interval
    bounds: Interval
    coverage: float
    certain: float
    certain_steps: float | None


@dataclass(frozen=True, slots=True)
class Reach:
    """What the paired days of two neighbouring sites say; a difference is downstream less upstream.

    ``signed_rank_p`` is ``None`` where a "<" or ">" leaves a difference without a number; then ``sign_p``
    counts alone. Tests and size are ``None`` with fewer than 6 days. ``older_days`` were left out because
    newer ones are enough. ``same_school`` tells whether one school reads both sites; ``over`` names sites
    between that have too few days in common with their neighbours. Without ``hours_known`` its days are
    paired whatever the hour, and nothing of an hour is told.
    """

    upstream: str
    downstream: str
    paired: PairedDays
    signs: Signs
    same_school: bool
    verdict: Verdict = Verdict.NOT_ENOUGH_DAYS
    sign_p: float | None = None
    signed_rank_p: float | None = None
    adjusted_p: float | None = None
    size: Size | None = None
    older_days: int = 0
    over: tuple[str, ...] = ()
    hours_known: bool = True

    @property
    def p(self) -> float | None:
        """The chance that counts: of the signed ranks, or of the signs where some have no rank."""
        return self.sign_p if self.signed_rank_p is None else self.signed_rank_p

    @property
    def rises(self) -> bool:
        """Whether the lower site reads more, as far as it is certain."""
        return self.size is not None and self.size.certain > 0

    @property
    def unnamed_days(self) -> int:
        """On how many of its days the class did not say with which kit it read."""
        return sum(not day.kit_named for day in self.paired.days)

    @property
    def likely_amount(self) -> float:
        """How large the middle difference likely is, either way [unit of storage]: to rank reaches by."""
        if self.size is None:
            return 0.0
        is_open = isinf(sum(map(abs, self.size.middle)))
        return abs(self.size.certain) if is_open else abs(sum(self.size.middle)) / 2

    @property
    def minutes_later(self) -> float | None:
        """How much later than the upper site the lower one is visited, on the middle day [min]."""
        later = [day.later.total_seconds() / 60 for day in self.paired.days]
        return median(later) if later and self.hours_known else None

    @property
    def steps(self) -> tuple[float, float] | None:
        """The finest and the coarsest step of its days, ``None`` where there are no steps."""
        steps = [day.step for day in self.paired.days]
        known = [step for step in steps if step is not None]
        return (min(known), max(known)) if known and len(known) == len(steps) else None
