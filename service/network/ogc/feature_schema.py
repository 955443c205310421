"""The JSON Schemas of a collection's features, which tell readers the type of each column.

A reader that is told nothing guesses from the first page: a column of nulls becomes text. One that is told
takes a single plain type for each property only; "a number or null" makes it read the column as text. So
null is allowed in words here. Older readers look for the schema of a whole feature, newer ones for a flat one
that says which property is the place.

Reference
---------
OGC API - Features, Part 5: Schemas (OGC 23-058): ``x-ogc-role``, ``x-ogc-unit`` and ``x-ogc-propertySeq``.
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
    """Return the schema of a whole feature of a collection; ``address`` is its own."""
    fields = layer.properties.model_fields.items()
    return _head(layer, address) | {
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


def flat_schema(layer: Layer, address: str) -> dict[str, Any]:
    """Return the schema of what a feature holds, its place as one of the properties."""
    properties: dict[str, dict[str, Any]] = {
        "id": {"type": "string", "x-ogc-role": "id", "description": "Id of the feature."},
        "geometry": {
            "format": "geometry-point",
            "x-ogc-role": "primary-geometry",
            "description": "The place of the site, as the public sees it.",
        },
    }
    for name, field in layer.properties.model_fields.items():
        properties[name] = _described(field)
    properties |= {name: properties[name] | {"x-ogc-role": role} for name, role in layer.roles.items()}
    for place, described in enumerate(properties.values(), start=1):
        described["x-ogc-propertySeq"] = place
    return _head(layer, address) | {"properties": properties}


def _head(layer: Layer, address: str) -> dict[str, Any]:
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": address,
        "title": layer.title,
        "description": f"{layer.description} A property that is not known is null.",
        "type": "object",
    }


def _described(field: Any) -> dict[str, Any]:
    more = field.json_schema_extra or {}
    return _TYPES[_one_type(field.annotation)] | {"description": field.description} | more


def _one_type(annotation: Any) -> Any:
    """Return the one type of a property: of "a number or null" the number, of several numbers their type."""
    if get_origin(annotation) is Annotated:
        return _one_type(get_args(annotation)[0])
    if get_origin(annotation) is Literal:
        return type(get_args(annotation)[0])
    if get_origin(annotation) is UnionType:
        (annotation,) = (part for part in get_args(annotation) if part is not type(None))
    return annotation
