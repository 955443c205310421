"""Which format is wanted: ending, then f, then Accept (RFC 9110, section 12.5.1)."""

import pytest
from fastapi import Request

from service.core.formats.negotiate import Format, format_wanted

# What clients send, by the documentation of each: see the source beside it.
WORKBOOK = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def asked(accept: str | None = None, ending: str | None = None) -> Request:
    headers = [] if accept is None else [(b"accept", accept.encode())]
    path = {} if ending is None else {"ending": ending}
    return Request({"type": "http", "headers": headers, "path_params": path, "query_string": b""})


@pytest.mark.parametrize(
    ("accept", "wanted"),
    [
        (None, "json"),
        ("", "json"),
        ("*/*", "json"),
        ("application/*", "json"),
        ("application/json, text/*, */*", "json"),  # a reader of JSON in R (common practice)
        ("text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8", "json"),  # a browser
        ("image/png", "json"),
        ("text/csv", "csv"),
        ("TEXT/CSV; charset=utf-8", "csv"),
        ("text/csv, */*;q=0.1", "csv"),
        ("text/csv;q=0.5, application/json", "json"),
        ("application/json;q=0.5, text/csv;q=0.9", "csv"),
        ("text/csv;q=0", "json"),
        ("text/csv;q=much", "json"),
        ("application/geo+json, application/json", "geojson"),  # a reader of maps (common practice)
        ("application/x-ndjson", "ndjson"),
        ("application/vnd.apache.parquet", "parquet"),
        (WORKBOOK, "xlsx"),
    ],
)
def test_accept_decides_where_nothing_else_does(accept: str | None, wanted: str) -> None:
    assert format_wanted(asked(accept), None) == wanted


def test_the_ending_goes_before_f_and_f_before_accept() -> None:
    assert format_wanted(asked("text/csv", "ndjson"), Format.XLSX) is Format.NDJSON
    assert format_wanted(asked("text/csv"), Format.XLSX) is Format.XLSX
    assert format_wanted(asked("text/csv"), Format.JSON) is Format.JSON
