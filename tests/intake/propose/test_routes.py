"""A school sends a sheet and gets a proposal; answered, the mapping takes the sheet in."""

import json
import sqlite3
from typing import Any

import pytest

from service.intake.propose import routes
from tests.api import Api

pytestmark = pytest.mark.parametrize("backend", ["sqlite"], indirect=True, scope="session")
SHEET = "Site,Date,Time,Water Temp (°C),pH\nReed-02,03/14/2026,9:40,6.5,7\nreed-02,03/15/2026,9:50,7,7.5\n"


def send(api: Api, content: bytes, query: str = "", key: str = "heron", **more: Any) -> Any:
    return api.call("POST", f"/v1/imports/propose{query}", key, content=content, **more)


def test_an_answered_proposal_takes_the_sheet_in(api: Api) -> None:
    answer = send(api, SHEET.encode())
    assert answer.status_code == 200
    body = answer.json()
    assert [one["about"] for one in body["questions"] if one["needed"]] == ["/when/zone"]
    assert body["sites"] == [
        {"word": "Reed-02", "rows": 1, "site": "reed-02", "near": ""},
        {"word": "reed-02", "rows": 1, "site": "reed-02", "near": ""},
    ]
    mapping = body["mapping"] | {"when": body["mapping"]["when"] | {"zone": "site"}}
    report = api.call(
        "POST", "/v1/imports", "heron",
        files={"file": ("sheet.csv", SHEET.encode()), "mapping": ("mapping.json", as_json(mapping))},
    )  # fmt: skip
    assert report.status_code == 200, report.text
    assert {row["fate"] for row in report.json()["rows"]} <= {"stored", "held"}
    assert len(api.every("/v1/visits", "heron")) == 2


def as_json(mapping: Any) -> bytes:
    return json.dumps(mapping).encode()


def test_nobody_waits_while_a_file_is_looked_at(api: Api, monkeypatch: pytest.MonkeyPatch) -> None:
    looks = routes.propose

    def look_while_another_writes(*asked: Any) -> Any:
        with sqlite3.connect(str(api.engine.url.database), timeout=0.1, isolation_level=None) as other:
            other.execute("BEGIN IMMEDIATE")
            other.execute("ROLLBACK")
        return looks(*asked)

    monkeypatch.setattr(routes, "propose", look_while_another_writes)
    assert send(api, SHEET.encode()).status_code == 200


def test_nothing_is_stored(api: Api) -> None:
    before = api.every("/v1/visits", "coordinator")
    send(api, SHEET.encode())
    assert api.every("/v1/visits", "coordinator") == before


def test_only_the_schools_own_sites_are_known(api: Api) -> None:
    sheet = SHEET.replace("reed-02", "fern-01").replace("Reed-02", "fern-01").encode()
    assert [word["site"] for word in send(api, sheet).json()["sites"]] == [None]
    assert [word["site"] for word in send(api, sheet, "?school=otter", "coordinator").json()["sites"]] == [
        "fern-01"
    ]


@pytest.mark.parametrize(
    ("query", "key", "status"),
    [("", "coordinator", 400), ("?school=nobody", "coordinator", 400), ("?school=otter", "heron", 403)],
)
def test_the_school_must_be_one_that_may_be_asked_for(api: Api, query: str, key: str, status: int) -> None:
    assert send(api, SHEET.encode(), query, key).status_code == status


@pytest.mark.parametrize(
    ("content", "query", "told"),
    [
        (b"", "", "empty"),
        (b"%PDF-1.7 and more", "", "PDF"),
        (b"site,date,pH\n", "", "below the row that names the columns"),
        (SHEET.encode(), "?sheet=Summer", "no sheet of that name"),
    ],
)
def test_what_cannot_be_read_is_told(api: Api, content: bytes, query: str, told: str) -> None:
    answer = send(api, content, query)
    assert answer.status_code == 422
    assert told in answer.text


def test_a_formula_in_a_cell_is_quoted_and_does_no_harm(api: Api) -> None:
    sheet = SHEET.replace("Reed-02", "=1+1").encode()
    found = next(word for word in send(api, sheet).json()["sites"] if word["site"] is None)
    assert found["word"] == "=1+1"
