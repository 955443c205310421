"""From a list's query parameters to the question that the database is asked, for the one who asks."""

from fastapi import Request

from service.network.queries import Question
from service.network.schemas import NetworkQuery
from service.schools.caller import Caller
from service.sites.watershed_filter import watershed_asked


def question_of(request: Request, asked: NetworkQuery, caller: Caller) -> Question:
    """Return the question behind a list's parameters.

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
        state=asked.state,
        sees_everything=caller.is_coordinator,
        own_school=caller.school,
    )
