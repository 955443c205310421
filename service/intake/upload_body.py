"""What `/openapi.json` says of a request that brings a file, and of a report that is one."""

from typing import Any

from service.core.formats.negotiate import Format

BINARY: dict[str, Any] = {"schema": {"type": "string", "format": "binary"}}
TEXT: dict[str, Any] = {"schema": {"type": "string"}}
SHEETS: dict[str, Any] = {
    Format.CSV.media_type: TEXT,
    "text/tab-separated-values": TEXT,
    Format.XLSX.media_type: BINARY,
    "application/octet-stream": BINARY,
}
REPORTS: dict[str, Any] = {Format.CSV.media_type: TEXT, Format.XLSX.media_type: BINARY}
MAPPING: dict[str, Any] = {"mapping": {"type": "string", "description": "A mapping as JSON or TOML."}}


def upload_body(
    kinds: dict[str, Any], beside: dict[str, Any], needed: tuple[str, ...] = ()
) -> dict[str, Any]:
    """Return the body of a request: a file of one of these kinds, or a form with parts beside it."""
    form = {
        "type": "object",
        "required": ["file", *needed],
        "properties": {"file": {"type": "string", "format": "binary"}} | beside,
    }
    return {"required": True, "content": kinds | {"multipart/form-data": {"schema": form}}}
