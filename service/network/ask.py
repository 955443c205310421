"""From a list's query parameters to the question that the database is asked, for the one who asks."""

from dataclasses import replace

from fastapi import Request

from service.network.schemas import NetworkQuery
from service.schools.caller import Caller
from service.visits.ask import question_asked
from service.visits.question import IN_THE_RECORD, Question


def question_of(request: Request, asked: NetworkQuery, caller: Caller) -> Question:
    """Return the question behind a list's parameters.

    Raises
    ------
    BadQuery
        The watershed's code is not legal.
    """
    states = IN_THE_RECORD if asked.state is None else (asked.state,)
    return replace(question_asked(request, asked, caller), states=states, kind=asked.kind)
