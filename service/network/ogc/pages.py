"""Pages of features: first all that have a place, then those without one.

A map that finds no place on its first page takes the whole collection for a table.
"""

from collections.abc import Callable
from typing import Any

from fastapi import Request
from sqlmodel import Session

from service.core.errors import BadQuery
from service.core.paging import read_cursor
from service.network.ogc.features import feature_of
from service.network.ogc.layers import Layer
from service.network.ogc.links import GEOJSON, JSON, link, next_page, self_link
from service.network.ogc.queries import Cut, Found, Rows, number_up_to, number_with_a_place, part_of
from service.network.ogc.schemas import FeaturePage, ItemsQuery

COUNTED_AT_MOST = 100_000  # a longer count would make each first page wait for it
PLACED, PLACELESS = "0", "1"  # first part of a cursor


def page_of(
    request: Request, session: Session, layer: Layer, found: Found, asked: ItemsQuery
) -> FeaturePage[Any]:
    """Return the page of features that a request asks for."""
    rows = _rows(session, layer, found, asked)
    shown = rows[: asked.limit]
    links = [self_link(request, GEOJSON), link(request, "collection", layer.address, JSON, layer.title)]
    if len(rows) > asked.limit:
        last = shown[-1]
        place = PLACELESS if last["latitude"] is None else PLACED
        links.append(next_page(request, asked.limit, [place, *(str(last[name]) for name in layer.order)]))
    return FeaturePage(
        features=[feature_of(layer, row, []) for row in shown],
        links=links,
        number_matched=None if asked.cursor else _exact_number(session, found),
        number_returned=len(shown),
    )


def _rows(session: Session, layer: Layer, found: Found, asked: ItemsQuery) -> Rows:
    """Return one row more than a page holds, if there is one."""
    wanted = asked.limit + 1
    place, after = _key(layer, asked.cursor)
    skipped = asked.offset
    rows: list[Any] = []
    if place == PLACED:
        rows += part_of(session, found, Cut(wanted, after, skipped), placed=True)
        after = None
        if rows:
            skipped = 0
        elif skipped:
            skipped = max(0, skipped - number_with_a_place(session, found))
    if len(rows) < wanted:
        rows += part_of(session, found, Cut(wanted - len(rows), after, skipped), placed=False)
    return rows


def _key(layer: Layer, cursor: str | None) -> tuple[str, list[Any] | None]:
    if cursor is None:
        return PLACED, None
    readers: list[Callable[[str], Any]] = list(layer.order.values())
    place, *key = read_cursor(cursor, [str] * (1 + len(readers)))
    try:
        if place in (PLACED, PLACELESS):
            return str(place), [read(str(part)) for read, part in zip(readers, key, strict=True)]
    except ValueError:
        pass
    raise BadQuery("cursor: not one that this list gave; start again without it")


def _exact_number(session: Session, found: Found) -> int | None:
    number = number_up_to(session, found, COUNTED_AT_MOST + 1)
    return None if number > COUNTED_AT_MOST else number
