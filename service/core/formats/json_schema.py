"""A list's columns as JSON Schema of one flat row.

Reference
---------
JSON Schema 2020-12; the keyword ``x-ogc-unit`` is that of OGC API - Features Part 5.
"""

from typing import Any

from service.core.formats.table import NO_UNIT, Column, Kind, Table

DIALECT = "https://json-schema.org/draft/2020-12/schema"
TYPES = {Kind.TEXT: "string", Kind.WHOLE: "integer", Kind.NUMBER: "number", Kind.DATE: "string"}


def json_schema(table: Table, address: str) -> dict[str, Any]:
    """Return the schema of a row, which is found at ``address``."""
    return {
        "$schema": DIALECT,
        "$id": address,
        "title": table.title,
        "description": table.text,
        "type": "object",
        "properties": {column.name: _property(column) for column in table.columns},
        "required": list(table.names),
        "additionalProperties": False,
    }


def _property(column: Column) -> dict[str, Any]:
    kind = TYPES[column.kind]
    said: dict[str, Any] = {"type": [kind, "null"] if column.may_be_empty else kind}
    if column.kind is Kind.DATE:
        said["format"] = "date"
    if column.unit != NO_UNIT:
        said["x-ogc-unit"] = column.unit
    return said | {"description": column.text}
