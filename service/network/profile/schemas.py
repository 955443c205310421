"""What crosses HTTP when a stream is asked where something changes along it."""

from datetime import date
from typing import Annotated

from pydantic import Field

from service.core.schema import Answer
from service.network.schemas import Quantile
from service.science.reach import Verdict
from service.visits.ask import DatedQuery, Name


class ProfileQuery(DatedQuery):
    """What to follow down the stream, in which days."""

    parameter: Annotated[
        Name | None,
        Field(description="Left out, and no index either: every parameter that two sites have."),
    ] = None
    index: Annotated[Name | None, Field(description="An index, such as family-biotic-extended.")] = None


class ProfileSite(Answer):
    """A site of the profile; the median is of all its readings, whatever day and kit."""

    site: str
    stream_km: float
    readings: int
    days: int
    median: Quantile


class SiteApart(Answer):
    """A site that has no place in the profile, and why."""

    site: str
    reason: str


class DaysLeftOut(Answer):
    """Days with readings at both sites that were not compared."""

    other_kind_of_kit: int
    more_than_2_hours_apart: Annotated[
        int | None,
        Field(
            description="Days on which the two sites were visited more than 2 hours apart; null where you "
            "may not know the hours: then no day is left out for it."
        ),
    ]
    older_than_enough: int


class ReachChange(Answer):
    """The middle of all differences downstream less upstream (Hodges and Lehmann), with exact bounds."""

    middle: Quantile
    bounds: Quantile
    bounds_hold_percent: Annotated[float, Field(description="Confidence of the bounds [%].")]
    certain_kit_steps: Annotated[
        float | None,
        Field(
            description="The middle of what is certain of each day's difference, in steps of the day's "
            "coarser kit: 1 or more, either way, is a change."
        ),
    ]


class KitSteps(Answer):
    """Steps of the coarser kit of a day: that of the finest day and that of the coarsest.

    Where no kit is named, what the finest kit of the catalogue could tell apart.
    """

    finest: float
    coarsest: float


class ReachAnswer(Answer):
    """Two neighbouring sites on the days on which both were read alike; ``unit`` is that of change and steps.

    ``p`` is the chance of days as one-sided as these if nothing changed: of the exact signed-rank test, and
    where a "<" or ">" leaves a day without a number, of the sign test. ``adjusted_p`` allows for the number
    of reaches tested (Holm); it decides at 0.05.
    """

    upstream: str
    downstream: str
    over: Annotated[list[str], Field(description="Sites between that are read too seldom to be compared.")]
    length_km: float
    verdict: Verdict
    paired_days: int
    days_higher_downstream: int
    days_lower_downstream: int
    days_without_difference: int
    days_left_out: DaysLeftOut
    sign_test_p: float | None
    signed_rank_p: float | None
    p: float | None
    adjusted_p: float | None
    change: ReachChange | None
    kit_steps: KitSteps | None
    unit: str
    minutes_later_downstream: Annotated[
        float | None,
        Field(description="On the middle day [min]; null where you may not know the hours of both sites."),
    ]
    reasons: list[str]


class ProfileAnswer(Answer):
    """One parameter or one index along the stream; ``unit`` is empty for an index.

    Sites stand in order from the headwater down; ``text`` says where it changes and what to do next.
    """

    parameter: str | None
    index: str | None
    unit: str
    text: str
    sites: list[ProfileSite]
    sites_apart: list[SiteApart]
    reaches: list[ReachAnswer]


class StreamProfileAnswer(Answer):
    """What can be told of a stream from its headwater to its mouth, from released visits."""

    stream: str
    from_date: date | None
    to_date: date | None
    profiles: list[ProfileAnswer]
    text: str
