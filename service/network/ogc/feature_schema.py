"""The JSON Schema of a collection's features, which tells readers the type of each column.

A reader that is told nothing guesses from the first page: a column of nulls becomes text. One that is told
takes a single plain type for each property only; "a number or null" makes it read the column as text. So
null is allowed in words here.
"""

from datetime import date
from types import UnionType
from typing import Annotated, Any, Literal, get_args, get_origin
from uuid import UUID

from service.network.ogc.layers import Layer

_TYPES: dict[Any, dict[str, str]] = {
    float: {"type": "number"},
    int: {"type": "integer"},
    str: {"type": "string"},
    date: {"type": "string", "format": "date"},
    UUID: {"type": "string", "format": "uuid"},
}


def feature_schema(layer: Layer, address: str) -> dict[str, Any]:
    """Return the schema of a feature of a collection; ``address`` is its own."""
    fields = layer.properties.model_fields.items()
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": address,
        "title": layer.title,
        "description": f"{layer.description} A property that is not known is null.",
        "type": "object",
        "properties": {
            "type": {"type": "string", "const": "Feature"},
            "id": {"type": "string"},
            "geometry": {"type": "object", "description": "A point, or null where the place is not known."},
            "properties": {
                "type": "object",
                "properties": {name: _described(field) for name, field in fields},
            },
        },
    }


def _described(field: Any) -> dict[str, str]:
    return _TYPES[_one_type(field.annotation)] | {"description": field.description}


def _one_type(annotation: Any) -> Any:
    """Return the one type of a property: of "a number or null" the number, of several numbers their type."""
    if get_origin(annotation) is Annotated:
        return _one_type(get_args(annotation)[0])
    if get_origin(annotation) is Literal:
        return type(get_args(annotation)[0])
    if get_origin(annotation) is UnionType:
        (annotation,) = (part for part in get_args(annotation) if part is not type(None))
    return annotation
