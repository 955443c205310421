"""The address of what has changed."""

from typing import Annotated
from urllib.parse import urlencode

from fastapi import APIRouter, Depends, Query, Request, Response

from service.core.database import RequestSession
from service.core.links import absolute, link_header, own_path
from service.core.paging import write_cursor
from service.network.feed.follow import changes_since
from service.network.feed.schemas import ChangePage, ChangeQuery
from service.schools.caller import ReadCaller
from service.schools.unchanged import only_if_changed
from service.visits.question import Question

router = APIRouter(prefix="/v1", tags=["ask"], dependencies=[Depends(only_if_changed)])


@router.get("/changes")
def list_changes(
    request: Request,
    response: Response,
    asked: Annotated[ChangeQuery, Query()],
    session: RequestSession,
    caller: ReadCaller,
) -> ChangePage:
    """List the visits that have changed since you last asked, so that a copy can be kept up to date."""
    question = Question(kind=None, sees_everything=caller.is_coordinator, own_school=caller.school)
    items, last, more = changes_since(session, question, asked.after, asked.limit)
    query = urlencode({"after": write_cursor([last]), "limit": asked.limit})
    link = absolute(request, f"{own_path(request)}?{query}")
    link_header(response, link)
    return ChangePage(items=items, more=more, next=link)
