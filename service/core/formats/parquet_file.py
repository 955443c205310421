"""Rows as Parquet, a row group at a time; a list of places as GeoParquet.

Reference
---------
Apache Parquet file format; GeoParquet specification 1.1.0 (WKB encoding, column metadata in ``geo``).
"""

import io
import json
import struct
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

import pyarrow as pa
import pyarrow.parquet as pq

from service.core.formats.table import Column, FlatRow, Kind, Table
from service.core.formats.terms import Terms

TYPES = {
    Kind.TEXT: pa.string(),
    Kind.WHOLE: pa.int32(),
    Kind.NUMBER: pa.float64(),
    Kind.DATE: pa.date32(),
}
ROWS_OF_A_GROUP = 20_000
GEOMETRY = "geometry"
# Without a reference system GeoParquet means longitude and latitude on WGS 84 (OGC:CRS84).
GEO = {
    "version": "1.1.0",
    "primary_column": GEOMETRY,
    "columns": {GEOMETRY: {"encoding": "WKB", "geometry_types": ["Point"]}},
}


def parquet_chunks(table: Table, batches: Iterable[Sequence[FlatRow]], terms: Terms) -> Iterator[bytes]:
    """Give the file in pieces; it is whole when its footer is there."""
    schema = _schema(table, terms)
    drain = io.BytesIO()
    # The writer asks for nothing but where it stands, so what it has written can go out and be forgotten.
    sink = _Forgetful(drain)
    with pq.ParquetWriter(pa.PythonFile(sink, mode="w"), schema, compression="snappy") as file:
        yield sink.take()
        for group in _groups(_in_columns(table, rows, schema) for rows in batches):
            file.write_table(pa.Table.from_batches(group, schema))
            yield sink.take()
    yield sink.take()


class _Forgetful(io.RawIOBase):
    """A file that keeps only what nobody has taken yet."""

    def __init__(self, held: io.BytesIO) -> None:
        self._held = held
        self._written = 0

    def writable(self) -> bool:
        return True

    def write(self, data: Any) -> int:
        self._written += len(data)
        return self._held.write(data)

    def tell(self) -> int:
        return self._written

    def take(self) -> bytes:
        """Return what was written since it was last asked for."""
        taken = self._held.getvalue()
        self._held.seek(0)
        self._held.truncate()
        return taken


def _schema(table: Table, terms: Terms) -> pa.Schema:
    fields = [_field(column) for column in table.columns]
    said = {"title": table.title, "licence": terms.licence, "attribution": terms.attribution}
    if table.row_is_a_place:
        fields.append(pa.field(GEOMETRY, pa.binary(), metadata={"description": "The place, as WKB."}))
        said["geo"] = json.dumps(GEO)
    return pa.schema(fields, metadata=said)


def _field(column: Column) -> pa.Field:
    said = {"description": column.text, "unit": column.unit}
    return pa.field(column.name, TYPES[column.kind], nullable=column.may_be_empty, metadata=said)


def _groups(batches: Iterable[pa.RecordBatch]) -> Iterator[list[pa.RecordBatch]]:
    """Give batches in groups that are worth a group of rows in the file."""
    group: list[pa.RecordBatch] = []
    for batch in batches:
        group.append(batch)
        if sum(one.num_rows for one in group) >= ROWS_OF_A_GROUP:
            yield group
            group = []
    if group:
        yield group


def _in_columns(table: Table, rows: Sequence[FlatRow], schema: pa.Schema) -> pa.RecordBatch:
    columns = {name: [row[name] for row in rows] for name in table.names}
    if table.row_is_a_place:
        columns[GEOMETRY] = [_point(row["longitude"], row["latitude"]) for row in rows]
    return pa.RecordBatch.from_pydict(columns, schema)


def _point(longitude: float | None, latitude: float | None) -> bytes | None:
    known = longitude is not None and latitude is not None
    return struct.pack("<BIdd", 1, 1, longitude, latitude) if known else None
