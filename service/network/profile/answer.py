"""Put what was followed down a stream into the answer."""

from collections.abc import Sequence
from math import isinf

from service.network.profile.followed import Followed
from service.network.profile.ordered_sites import PlacedSite
from service.network.profile.schemas import (
    DaysLeftOut,
    KitSteps,
    ProfileAnswer,
    ProfileSite,
    ReachAnswer,
    ReachChange,
    SiteApart,
)
from service.network.schemas import Quantile
from service.science.censored_median import Interval
from service.science.paired_days import SiteReading, median_of
from service.science.reach import Reach
from service.science.stream_profile_limits import limits_of
from service.science.stream_profile_words import Measure, amount_words, where_it_changes


def profile_answer(followed: Followed) -> ProfileAnswer:
    """Return the answer for one parameter or one index."""
    measure = followed.measure
    places = {site.code: site.stream_km for site in followed.placed}
    tested = sum(reach.p is not None for reach in followed.reaches)
    return ProfileAnswer(
        parameter=followed.parameter,
        index=followed.index,
        unit=measure.unit,
        text=where_it_changes(followed.reaches, measure),
        sites=[_site(site, followed.by_site[site.code], measure.unit) for site in followed.placed],
        sites_apart=[SiteApart(site=code, reason=reason) for code, reason in followed.apart],
        reaches=[
            _reach(reach, places[reach.upstream] - places[reach.downstream], measure, tested)
            for reach in followed.reaches
        ],
    )


def _site(site: PlacedSite, readings: Sequence[SiteReading], unit: str) -> ProfileSite:
    return ProfileSite(
        site=site.code,
        stream_km=site.stream_km,
        readings=len(readings),
        days=len({one.on for one in readings}),
        median=_amount(median_of(readings), unit),
    )


def _reach(reach: Reach, length_km: float, measure: Measure, reaches_tested: int) -> ReachAnswer:
    return ReachAnswer(
        upstream=reach.upstream,
        downstream=reach.downstream,
        over=list(reach.over),
        length_km=round(length_km, 3),
        verdict=reach.verdict,
        paired_days=len(reach.paired.days),
        days_higher_downstream=reach.signs.plus,
        days_lower_downstream=reach.signs.minus,
        days_without_difference=reach.signs.zero,
        days_left_out=DaysLeftOut(
            other_kind_of_kit=reach.paired.other_method,
            more_than_2_hours_apart=reach.paired.hours_apart if reach.hours_known else None,
            older_than_enough=reach.older_days,
        ),
        sign_test_p=reach.sign_p,
        signed_rank_p=reach.signed_rank_p,
        p=reach.p,
        adjusted_p=reach.adjusted_p,
        change=_change(reach, measure.unit),
        kit_steps=KitSteps(finest=reach.steps[0], coarsest=reach.steps[1]) if reach.steps else None,
        unit=measure.unit,
        minutes_later_downstream=reach.minutes_later,
        reasons=list(limits_of(reach, measure, reaches_tested)),
    )


def _change(reach: Reach, unit: str) -> ReachChange | None:
    if reach.size is None:
        return None
    return ReachChange(
        middle=_amount(reach.size.middle, unit),
        bounds=_amount(reach.size.bounds, unit),
        bounds_hold_percent=round(100 * reach.size.coverage, 2),
        certain_kit_steps=reach.size.certain_steps,
    )


def _amount(bounds: Interval, unit: str) -> Quantile:
    low, high = (None if isinf(bound) else bound for bound in bounds)
    return Quantile(low=low, high=high, text=amount_words(bounds, unit))
