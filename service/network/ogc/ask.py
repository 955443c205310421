"""From the parameters of a request for features to the question that the database is asked.

The question is that of the public, whoever asks, so that a map shows released routine visits only.
"""

from fastapi import Request

from service.network.ogc.schemas import ItemsQuery
from service.network.ogc.time_span import read_time_span
from service.sites.box import Box, read_box
from service.sites.watershed_filter import watershed_asked
from service.visits.question import Question

EVERYTHING = Question()


def question_of(request: Request, asked: ItemsQuery) -> Question:
    """Return the question behind the filters.

    Raises
    ------
    BadQuery
        The time or the watershed's code cannot be read.
    """
    days = read_time_span(asked.datetime)
    return Question(
        watershed=watershed_asked(request, asked.watershed),
        since=days.first,
        until=days.last,
        site=asked.site,
        stream=asked.stream,
        school=asked.school,
    )


def box_of(asked: ItemsQuery) -> Box | None:
    """Return the box that was drawn, or ``None``.

    Raises
    ------
    BadQuery
        It cannot be read.
    """
    return None if asked.bbox is None else read_box(asked.bbox)
