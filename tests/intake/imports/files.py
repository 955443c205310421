"""Sheets of a class to send, and what came back."""

import csv
import io
import json
from collections.abc import Sequence
from typing import Any

from tests.api import Api, Json

MAPPING: Json = {
    "site": {"column": "Site"},
    "when": {"date": "Date", "order": "ymd", "time": "Time", "zone": "site"},
    "team": {"column": "Team"},
    "readings": [
        {"column": "Water", "parameter": "water_temperature", "unit": "degC", "kit": "thermometer-alcohol"},
        {"column": "pH", "parameter": "ph", "kit": "ph-tablet-comparator"},
    ],
    "notes": [{"column": "Remarks", "word": "class"}],
}
HEAD = ("Site", "Date", "Time", "Team", "Water", "pH", "Remarks")
Line = Sequence[object]


def sheet(*lines: Line, head: Line = HEAD, separator: str = ",") -> bytes:
    """Return a sheet as text."""
    text = io.StringIO(newline="")
    csv.writer(text, delimiter=separator).writerows([head, *lines])
    return text.getvalue().encode()


def line(day: int = 12, site: str = "reed-02", **more: object) -> Line:
    """Return one good row; other cells by the names of their columns."""
    usual: dict[str, object] = {
        "Site": site, "Date": f"2026-03-{day:02}", "Time": "10:15", "Team": "", "Water": 6.5, "pH": 7,
        "Remarks": "",
    }  # fmt: skip
    return [(usual | more)[name] for name in HEAD]


def keep(api: Api, key: str = "heron", mapping: Json = MAPPING, code: str = "class-sheet") -> str:
    """Keep the mapping of the sheets, and return its code."""
    answer = api.call("PUT", f"/v1/schools/heron/mappings/{code}", key, json=mapping)
    assert answer.status_code in (200, 201), answer.text
    return code


def send(
    api: Api, content: bytes, key: str = "heron", kind: str = "text/csv", *, wanted: int = 200, **query: Any
) -> Any:
    """Send a file as the body, and return the answer."""
    address = "/v1/imports?" + "&".join(f"{name}={value}" for name, value in query.items())
    answer = api.call("POST", address, key, content=content, headers={"Content-Type": kind})
    assert answer.status_code == wanted, answer.text
    return answer


def send_sheet(api: Api, *lines: Line, key: str = "heron", **query: Any) -> Json:
    """Send a sheet with the kept mapping, and return the report."""
    return send(api, sheet(*lines), key, mapping="class-sheet", **query).json()


def send_lines(api: Api, *bodies: Any, key: str = "heron", **query: Any) -> Json:
    """Send visits one to a line, and return the report."""
    content = "\n".join(one if isinstance(one, str) else json.dumps(one) for one in bodies)
    return send(api, content.encode(), key, "application/x-ndjson", **query).json()


def fates(report: Json) -> list[str]:
    """Return the fate of each row."""
    return [row["fate"] for row in report["rows"]]
