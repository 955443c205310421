"""Bad input: always a 4xx problem that names the field, and nothing is stored."""

import json
from typing import Any

import pytest

from tests.api import Api, catch, reading, visit

PROBLEM = "application/problem+json"


def with_reading(**changes: Any) -> dict:
    return visit(readings=[reading("dissolved_oxygen", 8.0, "mg/L") | changes])


@pytest.mark.parametrize(
    ("body", "pointer", "words"),
    [
        (with_reading(unit="ppm"), "/readings/0/unit", '"mg/L"'),
        (with_reading(unit=None), "/readings/0/unit", "missing"),
        (with_reading(parameter="smell"), "/readings/0/parameter", "smell is not a parameter"),
        (with_reading(kit="magic-box"), "/readings/0/kit", "there is no kit magic-box"),
        (with_reading(kit="ph-meter"), "/readings/0/kit", "measures pH"),
        (with_reading(value="7"), "/readings/0/value", "number"),
        (with_reading(value=True), "/readings/0/value", "number"),
        (with_reading(value=1e10), "/readings/0/value", "1000000000"),
        (with_reading(censored="~"), "/readings/0/censored", "'<' or '>'"),
        (with_reading(colour="blue"), "/readings/0/colour", "not known here"),
        (with_reading(procedure={"bubble_free": 1}), "/readings/0/procedure/bubble_free", "true or false"),
        (visit(observed_at="2026-03-12T10:15:00"), "/observed_at", "offset"),
        (visit(observed_at=1_773_000_000), "/observed_at", "offset"),
        (visit(observed_at="0001-01-01T00:00:00+14:00"), "/observed_at", "offset"),
        (visit(observed_at="12/03/2026 10:15"), "/observed_at", "offset"),
        (visit(site="nowhere-01"), "/site", "no site nowhere-01"),
        (visit(visit_id="7"), "/visit_id", "UUID"),
        (visit(team="Ada Lovelace"), "/team", "lower-case letters"),
        (visit(student="x"), "/student", "not known here"),
        (visit(notes="bell\u0007"), "/notes", "control character"),
        (visit(notes="nul\u0000"), "/notes", "control character"),
        (visit(readings=[]), "", "nothing"),
        (visit(readings=[reading("ph", 7, replicate=1)] * 2), "", "same parameter and replicate"),
        (visit(catch=catch(("mayfly", -1))), "/catch/counts/0/count", "greater than or equal to 0"),
        (visit(catch=catch(("mayfly", 3)) | {"count_scheme": "abc"}), "/catch/count_scheme", "counts"),
        (visit(catch=catch(("mayfly", 3), count_scheme="rcd-1-10-100")), "/catch", "abundance"),
        (visit(catch=catch(("mayfly", 3), count_scheme="presence")), "/catch", "abundance (P)"),
        (visit(catch={"count_scheme": "counts", "counts": [{"taxon": "mayfly"}]}), "/catch", "wants count"),
    ],
)  # fmt: skip
def test_a_broken_rule_names_its_field(api: Api, body: dict, pointer: str, words: str) -> None:
    answer = api.post("/v1/visits", body, "heron")
    assert answer.status_code == 422, answer.text
    assert answer.headers["content-type"] == PROBLEM
    (error,) = answer.json()["errors"]
    assert error["pointer"] == pointer
    assert words in error["message"]
    assert api.every("/v1/visits", "coordinator") == []


def test_all_broken_rules_are_told_at_once(api: Api) -> None:
    rows = [reading("dissolved_oxygen", "8", "ppm"), reading("smell", 3, "x")]
    answer = api.post("/v1/visits", visit(readings=rows, colour="blue"), "heron").json()
    pointers = {error["pointer"] for error in answer["errors"]}
    assert pointers == {"/readings/0/value", "/readings/0/unit", "/readings/1/parameter", "/colour"}


@pytest.mark.parametrize("number", ["NaN", "Infinity", "-Infinity", "1e400"])
def test_numbers_that_are_none_are_refused(api: Api, number: str) -> None:
    text = json.dumps(with_reading()).replace("8.0", number)
    headers = {"Content-Type": "application/json"}
    answer = api.call("POST", "/v1/visits", "heron", content=text, headers=headers)
    assert answer.status_code in (400, 422), answer.text
    assert answer.headers["content-type"] == PROBLEM
    assert api.every("/v1/visits", "coordinator") == []


def test_a_lone_half_of_a_character_pair_is_refused(api: Api) -> None:
    text = json.dumps(visit(notes="x")).replace('"x"', '"\\ud800"')
    headers = {"Content-Type": "application/json"}
    answer = api.call("POST", "/v1/visits", "heron", content=text, headers=headers)
    assert answer.status_code == 422
    assert answer.json()["errors"][0]["pointer"] == "/notes"


def test_what_is_no_json_is_told_so(api: Api) -> None:
    headers = {"Content-Type": "application/json"}
    answer = api.call("POST", "/v1/visits", "heron", content='{"site": ', headers=headers)
    assert (answer.status_code, answer.headers["content-type"]) == (400, PROBLEM)


@pytest.mark.parametrize("in_pieces", [False, True])
def test_a_body_of_two_megabytes_is_refused(api: Api, in_pieces: bool) -> None:
    pieces = [b" " * 50_000] * 40
    content: Any = iter(pieces) if in_pieces else b"".join(pieces)
    headers = {"Content-Type": "application/json"}
    answer = api.call("POST", "/v1/visits", "heron", content=content, headers=headers)
    assert (answer.status_code, answer.headers["content-type"]) == (413, PROBLEM)


def test_a_problem_repeats_neither_values_nor_notes(api: Api) -> None:
    secret = "the gate code is kestrel"
    answer = api.post("/v1/visits", visit(notes=secret, team=secret), "heron")
    assert answer.status_code == 422
    assert secret not in answer.text


@pytest.mark.parametrize("address", ["/v1/visits", "/v1/readings", "/v1/scores", "/v1/sites"])
@pytest.mark.parametrize(
    "query",
    [
        "colour=blue",
        "limit=0",
        "limit=many",
        "cursor=abc",
        "watershed=020",
        "watershed=huc:23",
        "watershed=x:1",
    ],
)
def test_a_query_parameter_that_cannot_be_read_is_400(api: Api, address: str, query: str) -> None:
    answer = api.get(f"{address}?{query}")
    assert (answer.status_code, answer.headers["content-type"]) == (400, PROBLEM)
    assert query.split("=", maxsplit=1)[0] in answer.json()["detail"]


@pytest.mark.parametrize(
    "query", ["from=2026-13-01", "from=yesterday", "to=20260301", "from=2026-03-02&to=2026-03-01"]
)
def test_dates_that_make_no_sense_are_400(api: Api, query: str) -> None:
    assert api.get(f"/v1/visits?{query}").status_code == 400


@pytest.mark.parametrize(
    ("method", "address", "status"),
    [("GET", "/v1/nothing", 404), ("GET", "/v1/visits/not-a-uuid", 404), ("PUT", "/v1/sites", 405)],
)
def test_every_error_is_a_problem_with_a_request_id(api: Api, method: str, address: str, status: int) -> None:
    answer = api.call(method, address, "coordinator")
    assert (answer.status_code, answer.headers["content-type"]) == (status, PROBLEM)
    assert answer.json()["request_id"] == answer.headers["x-request-id"]
