"""Rows as one GeoJSON feature collection: the place of the row's site, everything else as properties.

Reference
---------
RFC 7946.
"""

import json
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from service.core.formats.table import FlatRow, Table
from service.core.formats.terms import Terms


def geojson_chunks(table: Table, batches: Iterable[Sequence[FlatRow]], terms: Terms) -> Iterator[bytes]:
    """Give one collection; where a place is not known the geometry is null."""
    head = {"type": "FeatureCollection", "licence": terms.licence, "attribution": terms.attribution}
    yield (json.dumps(head, ensure_ascii=False)[:-1] + ', "features": [').encode()
    comma = ""
    for rows in batches:
        for row in rows:
            yield (comma + json.dumps(feature(table, row), ensure_ascii=False, default=str)).encode()
            comma = ",\n"
    yield b"]}"


def feature(table: Table, row: FlatRow) -> dict[str, Any]:
    """Return a row as a GeoJSON feature, named by its key."""
    place = [row["longitude"], row["latitude"]]
    return {
        "type": "Feature",
        "id": ":".join(str(row[name]) for name in table.key),
        "geometry": None if None in place else {"type": "Point", "coordinates": place},
        "properties": {name: row[name] for name in table.names},
    }
