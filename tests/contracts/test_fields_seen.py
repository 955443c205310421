"""Which field of which answer is seen by whom, as fields_seen.csv tells it.

Each row is a field of an answer about something that is heron's, in the network of planted_network.py: `yes`
for who is told its value, `rounded` for who is told a place as far as it is public, `no` for who is not told,
be it that the field is empty for him or that he gets no answer at all. A new field needs a row.
"""

import csv
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.api import Api
from tests.contracts.planted_network import LATER, NIGHT, PLANTED, REJECTED, RELEASED, SITE, TOUCHED, plant

CALLERS = {"nobody": None, "reader": "reader", "other": "otter", "own": "heron", "coordinator": "coordinator"}
ANSWERS = {
    "visit": [f"/v1/visits/{visit_id}" for visit_id in (RELEASED, LATER, TOUCHED, NIGHT)],
    "row of a visit": ["/v1/visits?school=heron"],
    "row of a reading": ["/v1/readings?school=heron"],
    "row of a score": ["/v1/scores?school=heron"],
    "change": ["/v1/changes?limit=1000"],
    "revision": [f"/v1/visits/{LATER}/revisions"],
    "decision": [f"/v1/visits/{REJECTED}/decisions"],
    "alert": ["/v1/alerts"],
    "held visit": ["/v1/review"],
    "site": [f"/v1/sites/{SITE}"],
    "latest of a site": ["/v1/sites/latest?school=heron"],
    "site on the map": [f"/ogc/collections/sites/items/{SITE}"],
    "reading on the map": [f"/ogc/collections/readings/items?site={SITE}"],
    "box of a kit": ["/v1/kit-lots"],
    "mapping": ["/v1/schools/heron/mappings"],
    "school": ["/v1/schools/heron"],
    "key": ["/v1/keys"],
    "row of the trail": ["/v1/audit?limit=1000"],
}
FILE = Path(__file__).parent / "fields_seen.csv"
NAMED_BY_DATA = ("bands", "mapping")  # what stands in them are names, not fields
Seen = dict[tuple[str, str], dict[str, str]]

pytestmark = pytest.mark.parametrize("backend", ["sqlite"], indirect=True, scope="session")


def enter_planted(api: Api) -> None:
    plant(api, PLANTED)


def fields_of(value: Any, path: str = "") -> Iterator[tuple[str, Any]]:
    """Give each field with its value, lists by what they hold; what is another school's is left out."""
    if isinstance(value, dict) and value and not path.endswith(NAMED_BY_DATA):
        if value.get("school", "heron") in ("heron", None):
            for name, part in value.items():
                yield from fields_of(part, f"{path}.{name}" if path else name)
    elif isinstance(value, list):
        for part in value:
            yield from fields_of(part, f"{path}[]")
    elif value != {}:
        yield path, value


def told(value: Any) -> str:
    """Return how much a value tells."""
    if value in (None, ""):
        return "no"
    public_place = isinstance(value, float) and value in (40.123, -75.654)
    return "rounded" if public_place else "yes"


def seen_by_all(api: Api) -> Seen:
    """Return of each field of each answer how much of it each caller is told at most."""
    seen: Seen = defaultdict(lambda: dict.fromkeys(CALLERS, "no"))
    for answer, addresses in ANSWERS.items():
        for address in addresses:
            for caller, key in CALLERS.items():
                found = api.get(address, key)
                assert found.status_code < 500
                for field, value in fields_of(found.json()) if found.is_success else ():
                    row = seen[answer, field]
                    row[caller] = max(row[caller], told(value), key=("no", "rounded", "yes").index)
    filled = {(answer, field.rpartition(end)[0]) for answer, field in seen for end in (".", "[]")}
    return {at: row for at, row in seen.items() if at not in filled}


def test_each_field_is_told_to_whom_the_table_says(api: Api) -> None:
    api.once(enter_planted)
    with FILE.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    table = {(row["answer"], row["field"]): {caller: row[caller] for caller in CALLERS} for row in rows}
    assert len(table) == len(rows)
    seen = seen_by_all(api)
    assert sorted(set(seen) - set(table)) == [], "fields without a row"
    assert sorted(set(table) - set(seen)) == [], "rows without a field"
    # What is empty in all answers here cannot be compared.
    compared = {field: found for field, found in seen.items() if found["coordinator"] != "no"}
    assert {field: found for field, found in compared.items() if found != table[field]} == {}
