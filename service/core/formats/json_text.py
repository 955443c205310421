"""A page of a list as JSON, written once from its rows.

The answer's model describes the page in the documents. To check a thousand rows against it, which come from
tables that hold nothing else, would take longer than all the rest; tests hold pages against their models.
"""

from collections.abc import Sequence
from typing import Any

import orjson
from fastapi import Response

from service.core.links import link_header


def json_page(rows: Sequence[dict[str, Any]], next_page: str | None) -> Response:
    """Return one page; measured numbers are always written as floats."""
    response = Response(orjson.dumps({"items": rows, "next": next_page}), media_type="application/json")
    link_header(response, next_page)
    return response
