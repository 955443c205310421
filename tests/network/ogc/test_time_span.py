"""The `datetime` parameter: what it takes, and what it does not."""

from datetime import date

import pytest

from service.core.errors import BadQuery
from service.network.ogc.time_span import DaySpan, read_time_span

FIFTH, LAST = date(2024, 9, 5), date(2024, 12, 31)


# OGC 17-069r4, section 7.15.4: the grammar of the parameter; a day alone is our own extension.
@pytest.mark.parametrize(
    ("text", "span"),
    [
        ("2024-09-05T10:30:00Z", DaySpan(FIFTH, FIFTH)),
        ("2024-09-05t10:30:00.25z", DaySpan(FIFTH, FIFTH)),
        ("2024-09-05T23:30:00-05:00", DaySpan(FIFTH, FIFTH)),
        ("2024-09-05", DaySpan(FIFTH, FIFTH)),
        ("2024-09-05T00:00:00Z/2024-12-31T23:59:59Z", DaySpan(FIFTH, LAST)),
        ("2024-09-05T10:00:00Z/2024-09-05T10:00:00Z", DaySpan(FIFTH, FIFTH)),
        ("2024-09-05/2024-12-31T23:59:59Z", DaySpan(FIFTH, LAST)),
        ("2024-09-05T00:00:00Z/..", DaySpan(FIFTH, None)),
        ("2024-09-05T00:00:00Z/", DaySpan(FIFTH, None)),
        ("../2024-12-31T23:59:59Z", DaySpan(None, LAST)),
        ("/2024-12-31T23:59:59Z", DaySpan(None, LAST)),
        ("0001-01-01T00:00:00+14:00/9999-12-31T23:59:59-12:00", DaySpan(date.min, date.max)),
        (None, DaySpan(None, None)),
    ],
)
def test_it_is_read_as_days(text: str | None, span: DaySpan) -> None:
    assert read_time_span(text) == span


@pytest.mark.parametrize(
    "text",
    [
        "",
        "/",
        "..",
        "../..",
        "yesterday",
        "2024",
        "20240905",
        "2024-02-30T00:00:00Z",
        "2025-13-40T00:00:00Z",
        "2024-09-05T10:30:00",
        "2024-09-05T10:30Z",
        "2024-09-05 10:30:00Z",
        "2024-09-05T10:30:00 02:00",
        "2024-12-31T00:00:00Z/2024-01-01T00:00:00Z",
        "2024-09-05T11:00:00Z/2024-09-05T10:00:00Z",
        "2024-09-05T10:00:00-05:00/2024-09-05T14:59:59Z",
        "2024-09-06/2024-09-05T10:00:00Z",
        "2024-09-05T00:00:00Z/../..",
        "1725532200",
    ],
)
def test_anything_else_is_refused_with_what_to_write(text: str) -> None:
    with pytest.raises(BadQuery) as refused:
        read_time_span(text)
    assert refused.value.message.startswith("datetime: ")
