"""Which format is wanted: the address's ending goes before ``f``, and ``f`` before ``Accept``.

Reference
---------
RFC 9110, section 12.5.1 (Accept).
"""

from collections.abc import Iterator
from enum import StrEnum
from typing import Annotated

from fastapi import Path, Request
from pydantic import Field

from service.core.schema import Query


class Format(StrEnum):
    """A format that lists are answered in."""

    JSON = "json"
    GEOJSON = "geojson"
    CSV = "csv"
    NDJSON = "ndjson"
    XLSX = "xlsx"
    PARQUET = "parquet"

    @property
    def media_type(self) -> str:
        """Its media type, as a client names it in ``Accept``."""
        return MEDIA_TYPES[self]


MEDIA_TYPES = {
    Format.JSON: "application/json",
    Format.GEOJSON: "application/geo+json",
    Format.CSV: "text/csv",
    Format.NDJSON: "application/x-ndjson",
    Format.XLSX: "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    Format.PARQUET: "application/vnd.apache.parquet",
}
ANYTHING = ("*/*", "application/*")  # told by clients that take what comes: they get JSON


class FormatQuery(Query):
    """In which format."""

    f: Annotated[
        Format | None,
        Field(description="Format of the answer; the ending of the address goes before it, `Accept` after."),
    ] = None


def ending_known(
    ending: Annotated[Format, Path(description="Format of the answer, as the ending of a file name.")],
) -> None:
    """Let the ending of an address be one of the formats; any other address is not there."""


def format_wanted(request: Request, f: Format | None) -> Format:
    """Return the format that a request asks for."""
    ending = request.path_params.get("ending")
    if ending is not None:
        return Format(ending)
    return f or _accepted(",".join(request.headers.getlist("accept")))


def is_open(request: Request, f: Format | None) -> bool:
    """Tell whether ``Accept`` alone decides on the format of this request."""
    return f is None and "ending" not in request.path_params


def _accepted(header: str) -> Format:
    """Return the format that ``Accept`` puts first; JSON where it names none, or anything at all."""
    kinds = {media_type: kind for kind, media_type in MEDIA_TYPES.items()}
    kinds |= dict.fromkeys(ANYTHING, Format.JSON)
    ranked = sorted(
        ((-weight, place, kinds[media_type]) for place, (media_type, weight) in enumerate(_ranges(header))
         if media_type in kinds and weight > 0),
    )  # fmt: skip
    return ranked[0][2] if ranked else Format.JSON


def _ranges(header: str) -> Iterator[tuple[str, float]]:
    for part in header.split(","):
        media_type, *parameters = (one.strip().lower() for one in part.split(";"))
        weights = [one.removeprefix("q=") for one in parameters if one.startswith("q=")]
        try:
            yield media_type, float(weights[0]) if weights else 1.0
        except ValueError:
            yield media_type, 0.0
