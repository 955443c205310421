"""Visits that come one to a line: the same fates as handed in alone, and nothing doubled."""

import json
from datetime import datetime
from uuid import uuid4

import pytest
from sqlmodel import Session

from service.intake.imports.visit_id import IMPORTS, own_namespace, visit_id_of
from tests.api import Api, Json, reading, visit
from tests.databases import read_content
from tests.intake.imports.files import fates, send, send_lines

on_sqlite = pytest.mark.parametrize("backend", ["sqlite"], indirect=True, scope="session")


def test_each_line_has_the_fate_of_a_visit_that_is_handed_in_alone(api: Api) -> None:
    report = send_lines(api, visit(), visit(team="b", readings=[reading("ph", 15)]))
    assert fates(report) == ["stored", "held"]
    stored = [api.get(f"/v1/visits/{row['visit_id']}", "heron").json() for row in report["rows"]]
    assert [one["state"] for one in stored] == ["released", "held"]
    assert [(one["state"], one["flag"]) for one in report["visits"]] == [("released", 1), ("held", 4)]
    (doubt,) = report["visits"][1]["doubts"]
    assert (doubt["parameter"], doubt["flag"]) == ("ph", 4)
    (remark,) = report["rows"][1]["remarks"]
    assert doubt["message"] in remark["reason"]


WRONG = [
    ("no json", "", "no JSON"),
    ("[1]", "", "no JSON object"),
    ('{"site": "reed-02", "site": "reed-02"}', "/site", "given twice"),
    (json.dumps(visit(site="nowhere-1")), "/site", "no site nowhere-1"),
    (json.dumps(visit(site="reed-01")), "/site", "another school"),
    (json.dumps(visit(readings=[])), "", "this one has nothing"),
    (json.dumps(visit(readings=[reading("ph", 7, kit="card-9")])), "/readings/0/kit", "no kit card-9"),
    (json.dumps(visit(observed_at="yesterday")), "/observed_at", "offset from UTC"),
    (json.dumps(visit(colour="blue")), "/colour", "not known here"),
    ('{"notes": "' + "x" * 1_048_576 + '"}', "", "longer than"),
]


@on_sqlite
@pytest.mark.parametrize(("line", "column", "reason"), WRONG, ids=[reason for _, _, reason in WRONG])
def test_a_line_that_is_no_visit_is_refused_with_the_reason_and_the_others_are_stored(
    api: Api, line: str, column: str, reason: str
) -> None:
    report = send_lines(api, line, visit())
    assert fates(report) == ["refused", "stored"]
    (problem,) = report["rows"][0]["problems"]
    assert problem["column"] == column
    assert reason in problem["reason"]
    assert len(problem["value"]) <= 80


def test_a_line_without_an_id_is_known_when_it_comes_again(api: Api) -> None:
    first = send_lines(api, visit(), visit(team="b"))
    again = send_lines(api, visit(), visit(team="b"))
    assert (fates(first), fates(again)) == (["stored"] * 2, ["known"] * 2)
    assert [row["visit_id"] for row in again["rows"]] == [row["visit_id"] for row in first["rows"]]


def test_a_line_with_an_id_stands_for_the_visit_that_was_handed_in_under_it(api: Api) -> None:
    body = visit(visit_id=str(uuid4()))
    api.submit(body)
    assert fates(send_lines(api, body)) == ["known"]
    assert fates(send_lines(api, body | {"notes": "mud"})) == ["changed"]
    assert fates(send_lines(api, body | {"notes": "mud"}, revise="true")) == ["revised"]
    assert fates(send_lines(api, body, revise="true")) == ["revised"]
    assert api.get(f"/v1/visits/{body['visit_id']}", "heron").json()["revision"] == 3


def test_one_id_twice_in_a_file_is_one_visit(api: Api) -> None:
    body = visit(visit_id=str(uuid4()))
    assert fates(send_lines(api, body, body, body | {"notes": "mud"})) == ["stored", "known", "changed"]


def test_anothers_visit_is_neither_told_nor_changed(api: Api) -> None:
    body = visit(visit_id=str(uuid4()), notes="gate code kestrel")
    api.submit(body)
    mine = visit("fern-01", visit_id=body["visit_id"])
    report = send_lines(api, mine, key="otter", revise="true")
    assert fates(report) == ["refused"]
    assert "kestrel" not in json.dumps(report)
    assert report["visits"] == []
    assert api.get(f"/v1/visits/{body['visit_id']}", "heron").json()["revision"] == 1


def test_visits_are_taken_in_the_order_of_time_whatever_the_order_of_the_lines(api: Api) -> None:
    late, early = (visit(observed_at=f"2026-03-{day}T10:00:00+00:00") for day in (20, 10))
    report = send_lines(api, late, early)
    written = [row["visit_id"] for row in api.get("/v1/changes", "coordinator").json()["items"]]
    assert written == [row["visit_id"] for row in reversed(report["rows"])]
    assert [one["row"] for one in report["visits"]] == [2, 1]


def test_a_dry_run_says_everything_and_stores_nothing(api: Api) -> None:
    body = visit(visit_id=str(uuid4()))
    api.submit(body)
    before = read_content(api.engine)
    lines: list[Json | str] = [
        visit(team="b"), visit(team="c", readings=[reading("ph", 15)]), "x", body, body | {"notes": "mud"},
    ]  # fmt: skip
    report = send_lines(api, *lines, dry_run="true")
    assert fates(report) == ["would_store", "would_hold", "refused", "known", "changed"]
    corrected = send_lines(api, *lines, dry_run="true", revise="true")
    assert fates(corrected) == ["would_store", "would_hold", "refused", "known", "would_store"]
    assert without_last_use(read_content(api.engine)) == without_last_use(before)


def without_last_use(content: list) -> list:
    """Leave out when a key was last used, which each request notes."""
    return [
        (table.name, [{name: value for name, value in row.items() if name != "last_used_at"} for row in rows])
        for table, rows in content
    ]


@on_sqlite
def test_an_empty_file_is_told_as_such(api: Api) -> None:
    answer = send(api, b"\n\n", kind="application/x-ndjson", wanted=422)
    assert "empty" in answer.json()["errors"][0]["message"]


@on_sqlite
def test_lines_are_known_by_their_first_sign_too(api: Api) -> None:
    content = b"\xef\xbb\xbf\n" + json.dumps(visit()).encode()
    report = send(api, content, kind="application/octet-stream").json()
    assert (fates(report), report["rows"][0]["row"]) == (["stored"], 2)


def test_the_id_of_a_visit_cannot_be_made_without_what_only_the_network_holds(api: Api) -> None:
    # The time of day is private, and a day has only 1,440 minutes to try.
    (row,) = send_lines(api, visit())["rows"]
    told = ("heron", "reed-02", datetime.fromisoformat(visit()["observed_at"]), None, "routine", "")
    with Session(api.engine) as session:
        assert str(visit_id_of(own_namespace(session), *told)) == row["visit_id"]
    assert str(visit_id_of(IMPORTS, *told)) != row["visit_id"]
