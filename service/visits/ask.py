"""The filters that every list of visits takes, and the question they make for the one who asks."""

from typing import Annotated, Self

from fastapi import Request
from pydantic import AfterValidator, Field, model_validator

from service.core.schema import Day, Query
from service.schools.caller import Caller
from service.sites.watershed_filter import watershed_asked
from service.visits.question import Question


def _as_names_are(text: str) -> str:
    if not text.isprintable():
        raise ValueError("holds a control character; no name has one")
    return text


Name = Annotated[str, Field(max_length=64), AfterValidator(_as_names_are)]


class DatedQuery(Query):
    """From one local date to another, both inclusive."""

    from_: Annotated[Day | None, Field(alias="from", description="First local date, such as 2026-03-01.")] = (
        None
    )
    to: Annotated[Day | None, Field(description="Last local date, itself included.")] = None

    @model_validator(mode="after")
    def _dates_in_order(self) -> Self:
        if self.from_ and self.to and self.from_ > self.to:
            raise ValueError("from is later than to; exchange them")
        return self


class VisitFilter(DatedQuery):
    """Which visits: by watershed, local dates (both inclusive), site, stream and school."""

    watershed: Annotated[
        str | None,
        Field(max_length=40, description="Code of a watershed that holds the site: `0207` or `huc:0207`."),
    ] = None
    site: Name | None = None
    stream: Name | None = None
    school: Name | None = None


def question_asked(request: Request, asked: VisitFilter, caller: Caller) -> Question:
    """Return the question behind a list's filters: routine visits, as far as the caller may see them.

    Raises
    ------
    BadQuery
        The watershed's code is not legal.
    """
    return Question(
        watershed=watershed_asked(request, asked.watershed),
        since=asked.from_,
        until=asked.to,
        site=asked.site,
        stream=asked.stream,
        school=asked.school,
        sees_everything=caller.is_coordinator,
        own_school=caller.school,
    )
