"""The description at /openapi.json is what the service does, and the docs page needs no other host."""

import re
from collections.abc import Iterator
from typing import Any
from urllib.parse import quote

import jsonschema_rs
import pytest
from fastapi.testclient import TestClient

from service.app import create_app
from service.core.answer_examples import answer_examples
from service.core.field_words import field_words
from service.core.settings import Settings
from tests.api import Api

METHODS = ("get", "post", "put", "patch", "delete")
# What gives a schema a type (OpenAPI 3.1 schemas are JSON Schema 2020-12).
TYPED = {"type", "$ref", "anyOf", "oneOf", "allOf", "enum", "const"}
Json = dict[str, Any]


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> TestClient:
    """The service, asked only what needs no database."""
    nowhere = tmp_path_factory.mktemp("openapi") / "never_opened.db"
    return TestClient(create_app(Settings(database_url=f"sqlite:///{nowhere}")))


@pytest.fixture(scope="module")
def described(pages: TestClient) -> Json:
    answer = pages.get("/openapi.json")
    assert (answer.status_code, answer.headers["content-type"]) == (200, "application/json")
    return answer.json()


def operations(described: Json) -> Iterator[tuple[str, str, Json]]:
    for path, item in described["paths"].items():
        for method in METHODS:
            if method in item:
                yield method.upper(), path, item[method]


def schemas_within(node: Any) -> Iterator[Json]:
    """Give every node below this one that is an object."""
    if isinstance(node, dict):
        yield node
        for part in node.values():
            yield from schemas_within(part)
    if isinstance(node, list):
        for part in node:
            yield from schemas_within(part)


def test_it_has_the_parts_that_openapi_3_1_requires(described: Json) -> None:
    # OpenAPI 3.1: openapi, info (title, version) and paths; each answer of an operation has a description.
    assert re.fullmatch(r"3\.1\.\d+", described["openapi"])
    assert described["info"]["title"]
    assert described["info"]["version"]
    found = list(operations(described))
    assert ("POST", "/v1/visits") in [(method, path) for method, path, _ in found]
    for method, path, operation in found:
        assert operation["responses"], f"{method} {path}"
        assert all(answer["description"] for answer in operation["responses"].values()), f"{method} {path}"
        in_path = {one["name"] for one in operation.get("parameters", []) if one["in"] == "path"}
        assert in_path == set(re.findall(r"{(\w+)}", path)), f"{method} {path}"


def test_every_reference_leads_somewhere_and_every_schema_is_used(described: Json) -> None:
    named = set(described["components"]["schemas"])
    prefix = "#/components/schemas/"
    used = {node["$ref"].removeprefix(prefix) for node in schemas_within(described) if "$ref" in node}
    assert used - named == set()
    assert named - used == set()


def test_operation_ids_are_short_and_unique(described: Json) -> None:
    ids = [operation["operationId"] for _, _, operation in operations(described)]
    assert [one for one in ids if not re.fullmatch(r"[a-z][a-z_]{2,29}", one)] == []
    assert len(ids) == len(set(ids))


def test_every_operation_says_what_it_does_and_belongs_to_a_group(described: Json) -> None:
    for method, path, operation in operations(described):
        assert operation["summary"], f"{method} {path}"
        assert operation["description"].endswith("."), f"{method} {path}"
        assert len(operation["tags"]) == 1, f"{method} {path}"


def test_every_property_has_a_type(described: Json) -> None:
    untyped = [
        f"{name}.{prop}"
        for name, schema in described["components"]["schemas"].items()
        for prop, content in schema.get("properties", {}).items()
        if not TYPED & set(content)
    ]
    assert untyped == []


def test_every_field_and_every_parameter_says_what_it_is(described: Json) -> None:
    """Without a description of its own it needs a row in service/core/field_words.csv, with its unit."""
    silent = [
        f"{name}.{field}"
        for name, schema in described["components"]["schemas"].items()
        for field, content in schema.get("properties", {}).items()
        if not content.get("description")
    ]
    silent += [
        f"{method} {path} {parameter['name']}"
        for method, path, operation in operations(described)
        for parameter in operation.get("parameters", [])
        if not parameter.get("description")
    ]
    assert silent == []


def test_every_example_keeps_to_its_schema_and_every_one_is_shown(described: Json) -> None:
    shown = 0
    for _, path, operation in operations(described):
        for kind, content in operation["responses"].get("200", {}).get("content", {}).items():
            if "example" in content:
                schema = content["schema"] | {"components": described["components"]}
                wrong = jsonschema_rs.validator_for(schema).iter_errors(content["example"])
                assert [error.message for error in wrong] == [], f"{path} {kind}"
                shown += 1
    assert shown >= sum(map(len, answer_examples().values())) > 40


def test_no_row_of_words_is_left_over(described: Json) -> None:
    used = {
        name
        for schema, content in described["components"]["schemas"].items()
        for field in content.get("properties", {})
        for name in (field, f"{schema}.{field}")
    }
    used |= {
        one["name"] for _, _, operation in operations(described) for one in operation.get("parameters", [])
    }
    assert set(field_words()) - used == set()


def test_every_successful_answer_has_a_schema(described: Json) -> None:
    without = [
        f"{method} {path} {status}"
        for method, path, operation in operations(described)
        for status, answer in operation["responses"].items()
        if status.startswith("2")
        for content in answer.get("content", {"none": {}}).values()
        if not TYPED & set(content.get("schema", {}))
    ]
    assert without == []


def test_failures_are_described_as_the_problems_that_they_are(described: Json) -> None:
    # RFC 9457: application/problem+json. FastAPI describes its own form of a 422 unless it is told better.
    wrongly = [
        f"{method} {path} {status}"
        for method, path, operation in operations(described)
        for status, answer in operation["responses"].items()
        if status[0] in "45" and set(answer.get("content", {})) != {"application/problem+json"}
    ]
    assert wrongly == []


def test_addresses_that_need_a_key_say_so(described: Json) -> None:
    (scheme,) = described["components"]["securitySchemes"].values()
    assert (scheme["type"], scheme["scheme"]) == ("http", "bearer")
    open_to_all = [path for _, path, operation in operations(described) if operation["security"] == []]
    assert {re.sub(r"^/v1/catalogue/.*", "catalogue", path) for path in open_to_all} == {
        "catalogue",
        "/v1/datapackage.json",
        "/v1/schema/{name}.json",
        "/healthz",
        "/readyz",
    }


def test_the_docs_page_loads_nothing_from_another_host(pages: TestClient) -> None:
    page = pages.get("/docs")
    assert page.status_code == 200
    loaded = re.findall(r"""(?:src|href)\s*=\s*["']([^"']+)""", page.text)
    assert len(loaded) >= 2  # a script and a style sheet
    assert [address for address in loaded if not re.match(r"/[^/]", address)] == []
    assert re.findall(r"https?://|//[a-z0-9.-]+\.[a-z]{2,}/", page.text) == []
    for address in loaded:
        assert pages.get(address).status_code == 200, address


# Text that a program, a crawler or a careless client sends sooner or later.
ODD = ("\x00", "9" * 25, "40000", "\udc80")


def odd_addresses(described: Json) -> Iterator[str]:
    """Give every address that is read, with each of its parameters odd in turn."""
    for method, path, operation in operations(described):
        if method != "GET":
            continue
        usual = re.sub(r"{(\w+)}", "0207", path)
        for parameter in operation.get("parameters", []):
            name = parameter["name"]
            for text in ODD:
                odd = quote(text, errors="surrogateescape")
                if parameter["in"] == "path":
                    yield re.sub(r"{(\w+)}", "0207", path.replace(f"{{{name}}}", odd))
                else:
                    yield f"{usual}?{name}={odd}"


def test_no_odd_parameter_makes_the_service_fail(api: Api, described: Json) -> None:
    answered = {address: api.get(address, "coordinator").status_code for address in odd_addresses(described)}
    assert len(answered) > 100
    assert [address for address, status in answered.items() if status >= 500] == []


def test_a_query_parameter_that_an_address_does_not_know_is_refused(api: Api, described: Json) -> None:
    parts = {"code": "heron", "part": "kits", "visit_id": "019c2f4e-6f0e-7c3a-9b1e-2f6f0c1a7d11"}
    parts["key_id"] = parts["visit_id"]
    taken = []
    for method, path, _ in operations(described):
        if path.startswith("/v1/"):
            address = re.sub(r"{(\w+)}", lambda found: parts.get(found[1], "x"), path)
            more = {} if method in ("GET", "DELETE") else {"json": {}}
            answer = api.call(method, f"{address}?colour=blue", "coordinator", **more)
            if (answer.status_code, "colour" in answer.text) != (400, True):
                taken.append(f"{method} {path} {answer.status_code}")
    assert taken == []
