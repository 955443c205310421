"""From a row of the database to the feature that everybody may see."""

from typing import Any

import sqlalchemy as sa

from service.network.ogc.layers import Layer
from service.network.ogc.places import public_place
from service.network.ogc.schemas import Feature, Link, Point

SEPARATOR = "; "


def feature_of(layer: Layer, row: sa.RowMapping, links: list[Link]) -> Feature[Any]:
    """Return the feature that a row makes in a collection."""
    place = public_place(row)
    told = {name: _plain(row[name]) for name in layer.properties.model_fields}
    return Feature(
        id=layer.id_of(row),
        geometry=None if place is None else Point(coordinates=place),
        properties=layer.properties(**told),
        links=links,
    )


def _plain(value: Any) -> Any:
    """Return a value as a table on a map can hold it: a list as one text."""
    return SEPARATOR.join(value) if isinstance(value, list) else value
