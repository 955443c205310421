"""Along a stream: between which neighbouring sites does a parameter change, as far as the readings can tell.

Every reach between two sites is tested on its paired days, the chances are adjusted for the number of reaches
tested, and a change counts only when it is at least one step of the kit. Where kits have changed over the
days, each day's difference is counted in steps of its own kit.

Reference
---------
At least 6 days: 5 days that all agree still leave a chance of 0.0625 (exact binomial). One step of the kit:
common practice. Sizes and chances: see ``paired_tests``.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import groupby, pairwise

from service.science.kit_reading import is_same
from service.science.paired_days import PairedDay, SiteReading, pair_days
from service.science.paired_tests import (
    count_signs,
    hodges_lehmann,
    holm,
    shift_interval,
    sign_test,
    signed_rank_test,
)
from service.science.reach import Reach, Size, Verdict

LEAST_PAIRED_DAYS = 6
MOST_PAIRED_DAYS = 500  # the work grows with the square and more; ten years of weeks fit in
SIGNIFICANT = 0.05


@dataclass(frozen=True, slots=True)
class SiteSeries:
    """The readings of one parameter, or the scores of one index, at a site of a school.

    ``hours_known`` tells whether the one who asks may know the hours of its visits.
    """

    code: str
    school: str
    readings: tuple[SiteReading, ...]
    hours_known: bool = True


def profile(sites: Sequence[SiteSeries], *, swings_daily: bool) -> tuple[Reach, ...]:
    """Return what can be said of each reach between neighbouring sites.

    Parameters
    ----------
    sites : sequence of SiteSeries
        In order down the stream, readings in one unit.
    swings_daily : bool
        Whether it changes so much with the hour that the visits must be near in time. Where the hours of a
        site are not known to the one who asks, the medians of the day are compared all the same, and nothing
        that is returned hangs on an hour.

    Returns
    -------
    tuple of Reach
        In the same order, with p adjusted over the reaches tested (Holm). One less than there are sites,
        unless sites that are seldom read are stepped over, so that the others can be compared.
    """
    reaches = _bridged(sites, swings_daily=swings_daily)
    tested = [place for place, reach in enumerate(reaches) if reach.p is not None]
    adjusted = holm([reaches[place].p or 0.0 for place in tested])
    for place, chance in zip(tested, adjusted, strict=True):
        judged = replace(reaches[place], adjusted_p=chance)
        reaches[place] = replace(judged, verdict=_verdict(judged))
    return tuple(reaches)


def days_needed(reaches_tested: int) -> int:
    """Return how many paired days that all agree are needed to show a change.

    Parameters
    ----------
    reaches_tested : int
        Reaches tested together, at least 1.

    Returns
    -------
    int
        Days, at least 6: the chance that they all agree by luck, times the reaches, is 0.05 or less.
    """
    days = LEAST_PAIRED_DAYS
    while reaches_tested * sign_test(days, 0) > SIGNIFICANT:
        days += 1
    return days


def _bridged(sites: Sequence[SiteSeries], *, swings_daily: bool) -> list[Reach]:
    """Return the reaches; several in a row with too few days give way to one over all, if that has enough."""
    reaches: list[Reach] = []
    neighbours = [(pair, _measured(*pair, same_hour=swings_daily)) for pair in pairwise(sites)]
    for is_tested, run in groupby(neighbours, key=lambda item: item[1].p is not None):
        pairs, found = zip(*run, strict=True)
        over = tuple(lower.code for _, lower in pairs[:-1])
        bridge = (
            None if is_tested or not over else _measured(pairs[0][0], pairs[-1][1], same_hour=swings_daily)
        )
        reaches += found if bridge is None or bridge.p is None else [replace(bridge, over=over)]
    return reaches


def _measured(upper: SiteSeries, lower: SiteSeries, *, same_hour: bool) -> Reach:
    hours_known = upper.hours_known and lower.hours_known
    paired = pair_days(
        upper.readings,
        lower.readings,
        same_hour=same_hour and hours_known,
        same_school=upper.school == lower.school,
    )
    days = paired.days[-MOST_PAIRED_DAYS:]
    reach = Reach(
        upper.code,
        lower.code,
        replace(paired, days=days),
        count_signs(day.certain for day in days),
        same_school=upper.school == lower.school,
        older_days=len(paired.days) - len(days),
        hours_known=hours_known,
    )
    if len(days) < LEAST_PAIRED_DAYS:
        return reach
    return replace(
        reach,
        sign_p=sign_test(reach.signs.plus, reach.signs.minus),
        signed_rank_p=_signed_rank_p(days),
        size=_size(days),
    )


def _signed_rank_p(days: Sequence[PairedDay]) -> float | None:
    """Return p of the signed ranks, unless a day has a sign but no number."""
    if any(day.certain and not day.has_number for day in days):
        return None
    return signed_rank_test(day.certain for day in days).p


def _size(days: Sequence[PairedDay]) -> Size:
    # The middle lies between that of the lows and that of the highs: raising a difference cannot lower it.
    lows, highs = ([day.difference[end] for day in days] for end in (0, 1))
    least, most = shift_interval(lows), shift_interval(highs)
    in_steps = [day.certain / day.step for day in days if day.step is not None]
    return Size(
        middle=(hodges_lehmann(lows), hodges_lehmann(highs)),
        bounds=(least.low, most.high),
        coverage=least.coverage,
        certain=hodges_lehmann(day.certain for day in days),
        certain_steps=hodges_lehmann(in_steps) if len(in_steps) == len(days) else None,
    )


def _verdict(reach: Reach) -> Verdict:
    assert reach.size is not None  # every reach tested has a size
    assert reach.adjusted_p is not None
    if reach.adjusted_p > SIGNIFICANT:
        return Verdict.NO_CHANGE
    if reach.size.certain == 0:
        return Verdict.SMALLER_THAN_A_STEP
    steps = 1.0 if reach.size.certain_steps is None else abs(reach.size.certain_steps)
    return Verdict.CHANGES if steps > 1 or is_same(steps, 1) else Verdict.SMALLER_THAN_A_STEP
