"""Lists of sites to send, and what came back."""

import csv
import io
import json
from collections.abc import Sequence
from typing import Any

from tests.api import Api, Json

HEAD = ("Code", "Name", "Lat", "Lon", "Lat 2", "Lon 2", "Datum", "Feet", "HUC", "Water", "Since", "Sort")
MAPPING: Json = {
    "code": {"column": "Code"},
    "name": {"column": "Name"},
    "place": {
        "latitude": {"degrees": "Lat"},
        "longitude": {"degrees": "Lon"},
        "second": {"latitude": {"degrees": "Lat 2"}, "longitude": {"degrees": "Lon 2"}},
        "apart_km": 5,
        "datum": {"column": "Datum"},
    },
    "elevation_m": {"column": "Feet", "times": 0.3048},
    "watershed": {"scheme": "huc", "code": "HUC"},
    "water_class": {"column": "Water"},
    "time_zone": {"value": "America/Denver"},
    "established_on": {"column": "Since", "bare_date": "yyyymmdd", "range_sign": "/"},
    "only": [{"column": "Sort", "but_not": ["sum"], "why": "a sum, no site"}],
}


def line(code: str = "Elm-01", **more: object) -> Sequence[object]:
    """Return one good row; other cells by the names of their columns."""
    usual: dict[str, object] = dict.fromkeys(HEAD, "") | {
        "Code": code, "Name": f"Elm {code}", "Lat": 40.5, "Lon": -75.25, "Datum": "NAD83", "Feet": 1000,
        "HUC": "02030105", "Water": "cold", "Since": "19690522/19780615",
    }  # fmt: skip
    return [(usual | more)[name] for name in HEAD]


def sheet(*lines: Sequence[object], head: Sequence[str] = HEAD) -> bytes:
    """Return a list as text."""
    text = io.StringIO(newline="")
    csv.writer(text).writerows([head, *lines])
    return text.getvalue().encode()


def post(
    api: Api, content: bytes, mapping: Json | str = MAPPING, key: str = "coordinator", **query: Any
) -> Any:
    """Send a list with its mapping, and return the answer."""
    address = "/v1/imports/sites?" + "&".join(f"{name}={value}" for name, value in query.items())
    text = mapping if isinstance(mapping, str) else json.dumps(mapping)
    return api.call("POST", address, key, files={"file": ("sites.csv", content), "mapping": (None, text)})


def send(api: Api, *lines: Sequence[object], mapping: Json | str = MAPPING, **query: Any) -> Json:
    """Send rows for heron, and return the report."""
    answer = post(api, sheet(*lines), mapping, **({"school": "heron"} | query))
    assert answer.status_code == 200, answer.text
    report: Json = answer.json()
    assert sum(report["totals"].values()) == report["rows_count"] == len(report["rows"])
    return report


def fates(report: Json) -> list[str]:
    """Return the fate of each row."""
    return [row["fate"] for row in report["rows"]]


def told(report: Json, what: str = "problems") -> list[str]:
    """Return what is said of the rows."""
    return [f"{one['column']}: {one['reason']}" for row in report["rows"] for one in row[what]]
