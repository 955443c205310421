"""Keyset paging: an opaque cursor holds the key of the last row seen, never an offset."""

import base64
import json
from collections.abc import Sequence
from typing import Annotated

from pydantic import BeforeValidator, Field

from service.core.errors import BadQuery
from service.core.schema import Query

DEFAULT_LIMIT = 100
MAXIMUM_LIMIT = 1000
LONGEST_KEY_PART = 120
LARGEST_KEY_NUMBER = 2**31 - 1


def _clamp(value: object) -> object:
    try:
        number = int(str(value))
    except ValueError:
        return value
    return min(number, MAXIMUM_LIMIT)


Limit = Annotated[
    int,
    Field(ge=1),
    BeforeValidator(_clamp),
    Field(
        description=f"Rows wanted on a page, at least 1; above {MAXIMUM_LIMIT} it is {MAXIMUM_LIMIT}.",
    ),
]
Cursor = Annotated[
    str | None, Field(max_length=400, description="Where the page before ended; taken from its `next` link.")
]


class PageQuery(Query):
    """Which page of a plain list."""

    limit: Limit = DEFAULT_LIMIT
    cursor: Cursor = None


def write_cursor(key: Sequence[str | int]) -> str:
    """Return the opaque cursor of a row's key."""
    return (
        base64.urlsafe_b64encode(json.dumps(list(key), separators=(",", ":")).encode()).decode().rstrip("=")
    )


def read_cursor(cursor: str, kinds: Sequence[type]) -> list[str | int]:
    """Return the key behind a cursor.

    Raises
    ------
    BadQuery
        The cursor was not made by this list.
    """
    try:
        key = json.loads(base64.urlsafe_b64decode(cursor + "=" * (-len(cursor) % 4)))
    except (ValueError, RecursionError):
        key = None
    if isinstance(key, list) and [type(part) for part in key] == list(kinds) and all(map(_is_sane, key)):
        return key
    raise BadQuery("cursor: not one that this list gave; start again without it")


def _is_sane(part: str | int) -> bool:
    if isinstance(part, str):
        return part.isprintable() and len(part) <= LONGEST_KEY_PART
    return abs(part) <= LARGEST_KEY_NUMBER
