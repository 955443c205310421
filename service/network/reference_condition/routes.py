"""Addresses of the multimetric indices that the network makes from its own reference sites."""

from typing import Annotated

from fastapi import APIRouter, Query, Request, Response

from service.core.database import RequestSession
from service.core.errors import NotFound
from service.core.links import link_header, next_link, say_where
from service.core.paging import PageQuery, read_cursor
from service.indices.queries import index_by_code, indices_after
from service.network.reference_condition.define_index import define_index
from service.network.reference_condition.schemas import (
    DefinedIndex,
    DefineQuery,
    IndexAnswer,
    IndexBody,
    IndexPage,
    OneIndexQuery,
)
from service.network.reference_condition.show_index import shown_definition, shown_index
from service.schools.caller import Coordinator, ReadCaller
from service.schools.once import OnlyOnce

router = APIRouter(prefix="/v1/indices")


@router.post("", status_code=201, tags=["steer"], responses={200: {"model": DefinedIndex}})
def make_index(
    request: Request,
    response: Response,
    body: IndexBody,
    asked: Annotated[DefineQuery, Query()],
    session: RequestSession,
    caller: Coordinator,
    once: OnlyOnce,
) -> DefinedIndex:
    """Make an index of the network's own, frozen at its reference visits; a dry run only shows it."""

    def make() -> DefinedIndex:
        defined = define_index(session, request.app.state.settings, caller, body, dry_run=asked.dry_run)
        return shown_definition(defined, stored=not asked.dry_run)

    if asked.dry_run:
        response.status_code = 200
        return make()
    answer = once.answer(DefinedIndex, body, make)
    say_where(request, response, f"/v1/indices/{answer.code}?number={answer.number}")
    return answer


@router.get("", tags=["ask"])
def list_indices(
    request: Request,
    response: Response,
    page: Annotated[PageQuery, Query()],
    session: RequestSession,
    caller: ReadCaller,
) -> IndexPage:
    """List the network's own indices, every definition of each."""
    code, number = read_cursor(page.cursor, [str, int]) if page.cursor else ("", 0)
    rows = indices_after(session, (str(code), int(number)), page.limit + 1)
    link = next_link(request, page.limit, rows, lambda row: [row.code, row.number])
    link_header(response, link)
    return IndexPage(items=[shown_index(row) for row in rows[: page.limit]], next=link)


@router.get("/{code}", tags=["ask"])
def show_index(
    code: str, asked: Annotated[OneIndexQuery, Query()], session: RequestSession, caller: ReadCaller
) -> IndexAnswer:
    """Show one definition of an index, the newest where no number is given."""
    row = index_by_code(session, code, asked.number)
    if row is None:
        raise NotFound("There is no such index, or no such definition of it.")
    return shown_index(row)
