"""Absolute links in answers, also behind a proxy."""

from collections.abc import Callable, Sequence
from typing import TypeVar
from urllib.parse import urlencode

from fastapi import Request, Response

from service.core.paging import write_cursor
from service.core.settings import Settings

Row = TypeVar("Row")


def absolute(request: Request, path_and_query: str) -> str:
    """Return the full address of a path of the service, also behind a proxy that shows it under another."""
    settings: Settings = request.app.state.settings
    base = settings.public_url or str(request.base_url)
    return base.rstrip("/") + path_and_query


def own_path(request: Request) -> str:
    """Return the path of a request as the service knows it, without what a reverse proxy puts before it."""
    return request.url.path.removeprefix(request.scope.get("root_path", ""))


def next_link(
    request: Request, limit: int, rows: Sequence[Row], key: Callable[[Row], Sequence[str | int]]
) -> str | None:
    """Return the address of the next page, with every filter of this one, or ``None`` on the last.

    ``rows`` holds one row more than ``limit`` where there is a next page.
    """
    if len(rows) <= limit:
        return None
    kept = [
        (name, value) for name, value in request.query_params.multi_items() if name not in {"cursor", "limit"}
    ]
    kept += [("limit", str(limit)), ("cursor", write_cursor(key(rows[limit - 1])))]
    return absolute(request, f"{own_path(request)}?{urlencode(kept)}")


def say_where(request: Request, response: Response, path: str) -> None:
    """Say in the ``Location`` header where what was made is shown (RFC 9110, section 10.2.2)."""
    response.headers["Location"] = absolute(request, path)


def link_header(response: Response, address: str | None) -> None:
    """Say the next page in the ``Link`` header too (RFC 8288), for clients that read no body."""
    if address:
        response.headers["Link"] = f'<{address}>; rel="next"'
