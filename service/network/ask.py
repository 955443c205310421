"""From a list's query parameters to the question that the database is asked, for the one who asks."""

from dataclasses import replace

from fastapi import Request

from service.network.schemas import NetworkFilter
from service.schools.caller import Caller
from service.sites.box import read_box
from service.visits.ask import question_asked
from service.visits.question import IN_THE_RECORD, Question


def question_of(request: Request, asked: NetworkFilter, caller: Caller) -> Question:
    """Return the question behind a list's parameters.

    Raises
    ------
    BadQuery
        The watershed's code is not legal, or the box cannot be read.
    """
    states = IN_THE_RECORD if asked.state is None else (asked.state,)
    box = None if asked.bbox is None else read_box(asked.bbox)
    return replace(question_asked(request, asked, caller), states=states, kind=asked.kind, box=box)
