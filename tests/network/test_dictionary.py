"""The dictionary: each column of each list, with unit and terms, as programs and people read it."""

import csv
import io
import json
from typing import Any

import jsonschema_rs
import pytest

from tests.api import Api, catch, visit

LISTS = ("sites", "visits", "readings", "scores", "latest", "coverage")
WHERE = {"latest": "sites/latest"}


@pytest.fixture
def filled(api: Api) -> Api:
    api.submit(visit(catch=catch(("Heptageniidae", 60), ("Chironomidae", 50))))
    return api


def test_each_column_of_each_csv_is_in_the_package_with_its_unit(filled: Api) -> None:
    # Data Package 1.0: licenses with name or path; Table Schema 1.0: fields in the order of the columns.
    package = filled.get("/v1/datapackage.json").json()
    assert package["licenses"][0]["path"].startswith("https://")
    assert package["contributors"][0]["title"]
    assert [resource["name"] for resource in package["resources"]] == list(LISTS)
    for resource in package["resources"]:
        header, *rows = csv.reader(io.StringIO(filled.get(f"/v1/{resource['path']}").text, newline=""))
        fields = resource["schema"]["fields"]
        assert [field["name"] for field in fields] == header
        assert all(field["unit"] and field["description"].endswith(".") for field in fields)
        assert set(resource["schema"]["primaryKey"]) <= set(header)
        needed = [place for place, field in enumerate(fields) if field["constraints"]["required"]]
        empty = {header[place] for row in rows for place in needed if not row[place]}
        assert (bool(rows), empty) == (True, set())


def lines(api: Api, name: str) -> list[Any]:
    return [json.loads(line) for line in api.get(f"/v1/{WHERE.get(name, name)}.ndjson").text.splitlines()]


@pytest.mark.parametrize("name", LISTS)
def test_every_row_keeps_to_its_schema_and_a_broken_one_does_not(filled: Api, name: str) -> None:
    answer = filled.get(f"/v1/schema/{name}.json")
    assert answer.headers["content-type"] == "application/schema+json"
    schema = answer.json()
    assert schema["$id"].endswith(f"/v1/schema/{name}.json")
    check = jsonschema_rs.validator_for(schema)
    rows = lines(filled, name)
    assert rows
    assert [row for row in rows if not check.is_valid(row)] == []
    first = next(iter(rows[0]))
    assert not check.is_valid({key: value for key, value in rows[0].items() if key != first})
    assert not check.is_valid(rows[0] | {first: 7})


def test_units_stand_in_the_schema(filled: Api) -> None:
    properties = filled.get("/v1/schema/sites.json").json()["properties"]
    assert properties["stream_km"]["x-ogc-unit"] == "km"
    assert properties["elevation_m"]["type"] == ["number", "null"]
    assert "x-ogc-unit" not in properties["code"]
