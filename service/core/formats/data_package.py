"""Several lists and their columns as one data package: the dictionary of the data, with its terms.

Reference
---------
Frictionless Data Package 1.0 and Table Schema 1.0.
"""

from collections.abc import Sequence
from typing import Any

from service.core.formats.csv_text import GUARD
from service.core.formats.negotiate import Format
from service.core.formats.table import Column, Kind, Table
from service.core.formats.terms import Terms

GUARDED = f"Text that a spreadsheet would take for a formula has {GUARD} before it."
TYPES = {Kind.TEXT: "string", Kind.WHOLE: "integer", Kind.NUMBER: "number", Kind.DATE: "date"}


def data_package(title: str, tables: Sequence[tuple[Table, str]], terms: Terms) -> dict[str, Any]:
    """Return the package of these lists, each with the path of its CSV as seen from the package."""
    return {
        "name": "stream-visits",
        "title": title,
        "profile": "tabular-data-package",
        "licenses": [{"path": terms.licence}],
        "contributors": [{"title": terms.attribution, "role": "publisher"}],
        "resources": [_resource(table, path) for table, path in tables],
    }


def _resource(table: Table, path: str) -> dict[str, Any]:
    return {
        "name": table.name,
        "title": table.title,
        "description": f"{table.text} {GUARDED}",
        "path": path,
        "profile": "tabular-data-resource",
        "format": Format.CSV.value,
        "mediatype": Format.CSV.media_type,
        "encoding": "utf-8",
        "schema": {
            "fields": [_field(column) for column in table.columns],
            "primaryKey": list(table.key),
            "missingValues": [""],
        },
    }


def _field(column: Column) -> dict[str, Any]:
    return {
        "name": column.name,
        "type": TYPES[column.kind],
        "description": column.text,
        "unit": column.unit,
        "constraints": {"required": not column.may_be_empty},
    }
