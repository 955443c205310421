"""Every address that answers a GET, with what may be asked of it, and all that an answer tells as text."""

import base64
import io
import itertools
import json
import re
import zipfile
from collections.abc import Iterator
from typing import Any
from urllib.parse import parse_qsl, quote, quote_plus, urlencode, urlsplit

import pyarrow.parquet as pq

from tests.api import Api, Json
from tests.contracts.planted_network import HELD, NIGHT, PLANTED, RELEASED, SITE, TAKEN_BACK, TWIN

# Boxes around the public place, and such as hold only one of the two exact ones.
NARROW = [
    f"{east - 1e-6:.7f},{north - 1e-6:.7f},{east + 1e-6:.7f},{north + 1e-6:.7f}"
    for north, east in (PLANTED.place, TWIN.place)
]
BOXES = [
    *NARROW,
    "-75.654,40.123,-75.654,40.123",
    "-75.66,40.1230001,-75.65,40.13",
    "-75.66,40.12,-75.65,40.1229999",
]
SHORT_PAGE = "25"
DAYS = ["2026-03-12", PLANTED.day]
NOT_DESCRIBED = (
    "/ogc",
    "/docs",
    "/openapi.json",
    "/nowhere",
    "/v1/visits/not-an-id",
    "/form",
    f"/form?site={SITE}&visit_id={RELEASED}",
)
# What each parameter of a path is filled with, and each parameter of a query asked by.
PARTS = {
    "visit_id": [str(one) for one in (RELEASED, NIGHT, HELD, TAKEN_BACK)],
    "code": ["heron", SITE, "0207", "reed-spring", "sites", "our-ph", "nowhere"],
    "site": [SITE, "nowhere"],
    "stream": ["reed"],
    "ending": ["csv", "ndjson", "geojson", "parquet", "xlsx", "json"],
    "part": ["kits", "checks"],
    "name": ["readings", "visits"],
    "feature": [SITE, f"{RELEASED}.0", f"{HELD}.0"],
    "key_id": [str(HELD)],
    "school": ["heron"],
}
QUERIES = {
    "f": ["geojson", "csv"],
    "limit": [SHORT_PAGE, "0"],
    "cursor": ["abc", base64.urlsafe_b64encode(b'["quiet"]').decode().rstrip("=")],
    "after": ["abc"],
    "from": DAYS,
    "to": DAYS,
    "watershed": ["020700100103", "7"],
    "site": [SITE],
    "stream": ["reed"],
    "school": ["heron"],
    "bbox": BOXES,
    "state": ["held", "released", "withdrawn", "rejected"],
    "kind": ["routine", "field-blank"],
    "flag": ["4", "1"],
    "parameter": ["ph", "specific_conductance", "smell"],
    "index": ["taxa-richness", "ept-richness"],
    "band": ["good"],
    "definition": ["1"],
    "number": ["1"],
    "datetime": [f"{DAYS[0]}T09:00:00Z/{DAYS[0]}T15:30:00Z", f"{DAYS[0]}T15:30:00Z/..", f"{DAYS[1]}/..", "x"],
    "offset": ["1"],
    "overdue_days": ["30"],
    "overdue": ["true"],
    "acknowledged": ["false"],
    "subject": ["visit"],
    "subject_id": [str(HELD)],
    "period": ["year"],
    "dry_run": ["true"],
    "kits": ["ph-meter"],
    "parameters": ["ph"],
    "counting": ["none"],
    "paper": ["letter"],
}
PASSING = re.compile(
    r'"request_id":"[^"]*"|x-request-id: \S+|etag: \S+|last-modified: .*|date: .*|content-length: .*'
    r'|name="spare_id" value="[^"]*"|"(?:created_at|timeStamp)":"[^"]*"|/CreationDate \(.*?\)|/ID \[.*?\]',
    re.IGNORECASE,
)


def asked_of(document: Json) -> Iterator[tuple[str, list[str], list[str]]]:
    """Give each path that is read, the names of its parts, and the names that may be asked by."""
    for path, item in document["paths"].items():
        if "get" in item:
            parameters = item["get"].get("parameters", [])
            queries = [one["name"] for one in parameters if one["in"] == "query"]
            yield path, re.findall(r"{(\w+)}", path), queries


def addresses(document: Json, *, few: bool = False) -> Iterator[str]:
    """Give each address that is read: plain, with each parameter by itself, and with some together.

    What has an address without an ending is asked by parameters there. ``few``: each parameter once.
    """
    for path, of_path, known in asked_of(document):
        plain = path.removesuffix(".{ending}")
        queries = [] if plain != path and plain in document["paths"] else known
        for number, parts in enumerate(itertools.product(*(PARTS[name] for name in of_path))):
            address = path.format(**dict(zip(of_path, map(quote, parts), strict=True)))
            yield address
            for name in queries if number == 0 else ():
                values = QUERIES[name][:1] if few else QUERIES[name]
                yield from (f"{address}?{urlencode({name: value})}" for value in values)
            if {"from", "bbox"} <= set(queries):
                box_of_a_day = {"from": DAYS[0], "to": DAYS[0], "bbox": BOXES[number % 2], "site": SITE}
                yield f"{address}?{urlencode(box_of_a_day)}"


def text_of(answer: Any) -> str:
    """Return all that an answer tells, its heads and its cursors included, as text."""
    heads = "\n".join(f"{name}: {value}" for name, value in answer.headers.items())
    kind = answer.headers.get("content-type", "")
    if "parquet" in kind:
        table = pq.read_table(io.BytesIO(answer.content))
        body = json.dumps(table.to_pylist(), default=str) + str(table.schema.metadata)
    elif "spreadsheetml" in kind:
        with zipfile.ZipFile(io.BytesIO(answer.content)) as book:
            texts = [
                name for name in book.namelist() if name != "docProps/core.xml"
            ]  # it has the hour of now
            body = "\n".join(book.read(name).decode("utf-8", "replace") for name in texts)
    else:
        body = answer.text
    told = f"{answer.status_code}\n{heads}\n{body}"
    cursors = re.findall(r"[?&](?:cursor|after)=([\w-]+)", told)
    return "\n".join([told, *(_decoded(cursor) for cursor in cursors)])


def _decoded(cursor: str) -> str:
    return base64.urlsafe_b64decode(cursor + "=" * (-len(cursor) % 4)).decode("utf-8", "replace")


def walk(api: Api, document: Json, who: str | None, *, few: bool = False) -> dict[str, str]:
    """Ask every address, follow the pages of short lists, and return what was told by address.

    What was asked by is left out of it: an answer may say again what it was asked.
    """
    told: dict[str, str] = {}
    ahead = [*addresses(document, few=few), *NOT_DESCRIBED]
    while ahead:
        address = ahead.pop()
        if address not in told:
            told[address] = text_of(api.get(address, who))
            pages = re.findall(r'(?:"next":\s*"|"href":"|<)http://testserver(/[^">]*)', told[address])
            ahead += [one for one in pages if f"limit={SHORT_PAGE}&" in f"{one}&" and "cursor=" in one]
    return {address: _without_what_was_asked(address, text) for address, text in told.items()}


def _without_what_was_asked(address: str, text: str) -> str:
    for name, value in parse_qsl(urlsplit(address).query):
        if name in ("bbox", "datetime", "from", "to", "subject_id") and len(value) > 3:
            text = text.replace(value, "").replace(quote(value), "").replace(quote_plus(value), "")
    return text


def lasting(text: str) -> str:
    """Return what was told without what differs from one request to the next."""
    return PASSING.sub("", text)
