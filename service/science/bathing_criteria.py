"""What a month of bacteria counts says beside the criteria for bathing.

Reference
---------
US EPA 2012, Recreational Water Quality Criteria, EPA 820-F-12-058: geometric mean and statistical threshold
value of E. coli in any 30 days (numbers seen second-hand). Five samples in 30 days before anything is said:
common practice.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from service.science.bacteria import geometric_mean_bounds, share_above
from service.science.censored_median import Interval

DAYS_IN_WINDOW = 30
SAMPLES_WANTED = 5
PERCENT_ABOVE_ALLOWED = 10.0


class Verdict(StrEnum):
    """What samples say beside a criterion; never that a law was kept or broken."""

    MEETS = "meets the value"
    DOES_NOT_MEET = "does not meet the value"
    CANNOT_TELL = "cannot tell"


@dataclass(frozen=True, slots=True)
class BathingCriterion:
    """A pair of values for 30 days of E. coli [per 100 mL], at so many illnesses among 1000 bathers.

    The geometric mean is not above ``geometric_mean``, and not more than a tenth of the samples above
    ``threshold``.
    """

    illnesses_per_1000: int
    geometric_mean: float
    threshold: float


CRITERIA = (BathingCriterion(36, 126.0, 410.0), BathingCriterion(32, 100.0, 320.0))


@dataclass(frozen=True, slots=True)
class Statement:
    """What the samples of 30 days say beside a criterion: of the mean, of the share above, and together."""

    geometric_mean: Verdict
    share_above: Verdict
    together: Verdict


@dataclass(frozen=True, slots=True)
class Window:
    """Thirty days, both ends inclusive, and the places of the samples within them."""

    first: date
    last: date
    samples: range


def compare(intervals: Sequence[Interval], criterion: BathingCriterion) -> Statement:
    """Return what the samples of 30 days say beside a criterion, for any counts within their intervals.

    Parameters
    ----------
    intervals : sequence of (low, high)
        Counts of 30 days [per 100 mL], with the doubt of kit and limit.
    criterion : BathingCriterion
        The values to set them beside.

    Returns
    -------
    Statement
        Under five samples nothing can be told.

    Reference
    ---------
    US EPA 2012, EPA 820-F-12-058, as in the heading of this module.
    """
    if len(intervals) < SAMPLES_WANTED:
        return Statement(Verdict.CANNOT_TELL, Verdict.CANNOT_TELL, Verdict.CANNOT_TELL)
    mean = _verdict(*geometric_mean_bounds(intervals), criterion.geometric_mean)
    above = share_above(intervals, criterion.threshold)
    share = _verdict(above.percent_at_least, above.percent_at_most, PERCENT_ABOVE_ALLOWED)
    both = {mean, share}
    if Verdict.DOES_NOT_MEET in both:
        return Statement(mean, share, Verdict.DOES_NOT_MEET)
    return Statement(mean, share, Verdict.MEETS if both == {Verdict.MEETS} else Verdict.CANNOT_TELL)


def windows(dates: Sequence[date]) -> list[Window]:
    """Return the 30 days that end on each date with a sample, oldest first.

    Parameters
    ----------
    dates : sequence of date
        Local date of each sample, in order.

    Returns
    -------
    list of Window
        One for each different date.
    """
    found: dict[date, Window] = {}
    begin = 0
    for place, last in enumerate(dates):
        first = last - timedelta(days=DAYS_IN_WINDOW - 1)
        while dates[begin] < first:
            begin += 1
        found[last] = Window(first, last, range(begin, place + 1))
    return list(found.values())


def _verdict(low: float, high: float, value: float) -> Verdict:
    if high <= value:
        return Verdict.MEETS
    return Verdict.DOES_NOT_MEET if low > value else Verdict.CANNOT_TELL
