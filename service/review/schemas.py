"""What a coordinator sends: decisions, and what to list."""

from typing import Annotated

from pydantic import AfterValidator, Field

from service.core.paging import Limit, PageQuery
from service.core.schema import Body, Note, is_blank
from service.review.quality.periods import Period
from service.review.tables import Action
from service.visits.ask import DatedQuery, Name, VisitFilter

MOST_ON_A_PAGE = 100  # an item of the review is a whole screen


def _says_something(text: str) -> str:
    if is_blank(text):
        raise ValueError("say why, in words that the school will understand")
    return text


def _few(limit: int) -> int:
    return min(limit, MOST_ON_A_PAGE)


class DecisionBody(Body):
    """What is decided about a visit, and why. It overrides what the checks said and deletes nothing."""

    action: Annotated[
        Action,
        Field(
            strict=False,
            description="`release` or `reject` the visit, or `set-flag` of one reading of it; "
            "a decision is undone by another one.",
        ),
    ]
    reading: Annotated[
        int | None, Field(ge=0, description="Only with set-flag: place of the reading in the visit, from 0.")
    ] = None
    flag: Annotated[
        int | None,
        Field(ge=1, le=4, description="Only with set-flag: the flag that shall stand, 1 to 4."),
    ] = None
    revision: Annotated[
        int | None,
        Field(
            ge=1, description="The revision that was looked at; refused if the school has changed it since."
        ),
    ] = None
    reason: Annotated[
        Note,
        Field(max_length=1000, description="Why; the visit's own school reads it too."),
        AfterValidator(_says_something),
    ]


class ReviewQuery(VisitFilter, PageQuery):
    """Which held visits."""

    limit: Annotated[Limit, AfterValidator(_few)] = 20


class AlertQuery(DatedQuery, PageQuery):
    """Which alerts, by the local date of their visit."""

    acknowledged: Annotated[
        bool | None, Field(description="Left out: all; false: those that nobody has looked at yet.")
    ] = None


class QualityQuery(VisitFilter):
    """Which readings, and how long the stretches are that they are counted by."""

    parameter: Name | None = None
    period: Period = Period.SEASON
