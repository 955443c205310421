"""Refuse query parameters that an address does not know, that come twice, or that hold no plain text."""

from fastapi import Request
from fastapi.routing import APIRoute
from pydantic import BaseModel

from service.core.errors import BadQuery, NotFound


def known_parameters(request: Request) -> None:
    """Check the parameters of a request against those of its route.

    Raises
    ------
    BadQuery
        A query parameter is unknown here, is given twice or is no plain text.
    NotFound
        A part of the path is no plain text.
    """
    given = request.query_params.multi_items()
    names = [name for name, _ in given]
    known = _names_of(request.scope["route"])
    for name, value in given:
        if name not in known:
            told = f"known here are {', '.join(sorted(known))}" if known else "this address takes none"
            raise BadQuery(f"Query parameter {_shown(name)} is not known; {told}.")
        if names.count(name) > 1:
            raise BadQuery(f"Query parameter {name} is given twice; give it once.")
        if not _is_plain(value):
            raise BadQuery(f"Query parameter {name} holds characters that are no plain text.")
    if not all(_is_plain(str(part)) for part in request.path_params.values()):
        raise NotFound("There is nothing at this address.")


def _names_of(route: APIRoute) -> set[str]:
    names: set[str] = set()
    for field in route.dependant.query_params:
        kind = field.field_info.annotation
        if isinstance(kind, type) and issubclass(kind, BaseModel):
            names |= {info.alias or name for name, info in kind.model_fields.items()}
        else:
            names.add(field.alias)
    return names


def _is_plain(text: str) -> bool:
    return text.isprintable() and text.encode("utf-8", "replace").decode() == text


def _shown(name: str) -> str:
    return name if _is_plain(name) and len(name) <= 40 else "of that name"
