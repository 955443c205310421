"""Whole lists: every row once, told to be whole, in flat memory."""

import csv
import io
import json
from typing import Any

import pyarrow.parquet as pq
import pytest
from sqlalchemy import event
from sqlmodel import Session

from service.network.exports import routes, whole
from service.network.pages import VISIT_LIST
from service.network.schemas import VisitChoice
from service.visits.question import Question
from tests.api import Api, catch, reading, visit

LISTS = ("sites", "visits", "readings", "scores")
KINDS = ("csv", "ndjson", "parquet")
PLAIN = {"Accept-Encoding": "identity"}
CATCH = catch(("Heptageniidae", 60), ("Chironomidae", 50))


@pytest.fixture
def filled(api: Api, monkeypatch: pytest.MonkeyPatch) -> Api:
    """Batches so small that every list needs several."""
    monkeypatch.setattr(whole, "ROWS_OF_A_BATCH", 2)
    return api.once(_enter_visits)


def _enter_visits(api: Api) -> None:
    """Ten visits at two sites, and one that is held."""
    for day in range(1, 6):
        for site, key in (("reed-01", "otter"), ("reed-02", "heron")):
            api.submit(visit(site, f"2026-03-0{day}T10:00:00-05:00", catch=CATCH), key)
    api.submit(visit("reed-02", "2026-03-03T12:00:00-05:00", readings=[reading("ph", 15)]))


def csv_rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline="")))


@pytest.mark.parametrize("name", LISTS)
@pytest.mark.parametrize("key", [None, "heron"])
def test_a_whole_list_is_all_its_pages(filled: Api, name: str, key: str | None) -> None:
    paged = filled.get(f"/v1/{name}.csv?limit=1000", key)
    exported = filled.get(f"/v1/exports/{name}.csv", key)
    assert exported.text == paged.text
    assert int(exported.headers["content-rows"]) == len(csv_rows(exported.text)) > 2


@pytest.mark.parametrize("name", LISTS)
def test_ndjson_ends_with_how_many_rows_it_has(filled: Api, name: str) -> None:
    *lines, last = filled.get(f"/v1/exports/{name}.ndjson").text.splitlines()
    end = json.loads(last)
    assert (end["complete"], end["rows"]) == (True, len(lines))
    assert lines == filled.get(f"/v1/{name}.ndjson?limit=1000").text.splitlines()


@pytest.mark.parametrize("name", LISTS)
def test_parquet_has_the_same_rows(filled: Api, name: str) -> None:
    def table(address: str) -> Any:
        return pq.read_table(io.BytesIO(filled.get(address).content))

    assert table(f"/v1/exports/{name}.parquet").equals(table(f"/v1/{name}.parquet?limit=1000"))


@pytest.mark.parametrize(
    ("question", "rows"),
    [
        ("readings.csv?site=reed-01&parameter=ph", 5),
        ("readings.csv?from=2026-03-02&to=2026-03-03&flag=1&parameter=ph", 4),
        ("readings.csv?parameter=nitrate", 0),
        ("visits.csv?watershed=0207&school=otter", 5),
        ("visits.csv?flag=4", 0),
        ("scores.csv?index=ept-richness&site=reed-02", 5),
        ("sites.csv?stream=fern", 1),
    ],
)
def test_filters_hold_and_what_is_counted_comes(filled: Api, question: str, rows: int) -> None:
    answer = filled.get(f"/v1/exports/{question}")
    assert (len(csv_rows(answer.text)), answer.headers["content-rows"]) == (rows, str(rows))


def test_held_visits_are_exported_for_their_school_only(filled: Api) -> None:
    counts = {key: len(csv_rows(filled.get("/v1/exports/visits.csv", key).text)) for key in
              (None, "otter", "heron", "coordinator")}  # fmt: skip
    assert counts == {None: 10, "otter": 10, "heron": 11, "coordinator": 11}


def test_pages_are_not_for_whole_lists(filled: Api) -> None:
    for name in ("limit", "cursor", "f"):
        assert filled.get(f"/v1/exports/visits.csv?{name}=1").status_code == 400


def test_no_connection_is_held_while_a_batch_is_on_its_way(filled: Api) -> None:
    engine = filled.client.app.state.engine
    out = 0

    def taken(*_: Any) -> None:
        nonlocal out
        out += 1

    def given_back(*_: Any) -> None:
        nonlocal out
        out -= 1

    event.listen(engine, "checkout", taken)
    event.listen(engine, "checkin", given_back)
    try:
        held = [out for _ in whole.whole_list(lambda: Session(engine), Question(), VISIT_LIST, VisitChoice())]
    finally:
        event.remove(engine, "checkout", taken)
        event.remove(engine, "checkin", given_back)
    assert held == [0] * 5


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("name", LISTS)
def test_a_short_list_tells_its_length_and_its_rows_beforehand(filled: Api, name: str, kind: str) -> None:
    answer = filled.call("GET", f"/v1/exports/{name}.{kind}", headers=PLAIN)
    assert int(answer.headers["content-length"]) == len(answer.content)
    assert answer.headers["accept-ranges"] == "bytes"
    assert int(answer.headers["content-rows"]) == len(csv_rows(filled.get(f"/v1/exports/{name}.csv").text))


@pytest.mark.parametrize("kind", KINDS)
def test_a_short_list_is_given_in_parts_that_make_the_whole(filled: Api, kind: str) -> None:
    address = f"/v1/exports/readings.{kind}"
    whole = filled.call("GET", address, headers=PLAIN)
    tag, size = whole.headers["etag"], len(whole.content)
    cuts = [f"bytes=0-{size // 3}", f"bytes={size // 3 + 1}-{size // 2}", f"bytes={size // 2 + 1}-"]
    asked = {"If-Range": tag, "Accept-Encoding": "gzip"}
    parts = [filled.call("GET", address, headers=asked | {"Range": cut}) for cut in cuts]
    assert {(part.status_code, part.headers["etag"]) for part in parts} == {(206, tag)}
    assert b"".join(part.content for part in parts) == whole.content
    longer = filled.call("GET", address, headers={"Range": "bytes=-99999999"})
    assert (longer.status_code, longer.content) == (206, whole.content)
    assert filled.call("GET", address, headers={"Range": f"bytes={size}-"}).status_code == 416


@pytest.mark.parametrize("kind", KINDS)
def test_a_long_list_comes_as_it_is_made_and_has_the_same_rows(
    filled: Api, kind: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    address = f"/v1/exports/readings.{kind}?to=2099-12-31"  # asked for nowhere else: none lies ready
    with monkeypatch.context() as few:
        few.setattr(routes, "MOST_ROWS_WRITTEN", 5)
        answer = filled.call("GET", address, headers={"Range": "bytes=0-9"})
    short = filled.call("GET", address, headers=PLAIN)
    assert (answer.status_code, answer.headers["etag"]) == (200, f"W/{short.headers['etag']}")
    assert {"content-length", "accept-ranges"} & set(answer.headers) == set()
    assert ("content-rows" in answer.headers) == (kind == "csv")
    if kind == "parquet":  # its groups of rows are cut elsewhere
        read, expected = (pq.read_table(io.BytesIO(one.content)) for one in (answer, short))
        assert read.equals(expected)
    else:
        assert answer.content == short.content


@pytest.mark.parametrize("rows_written", [5, 50_000])
def test_a_list_that_has_not_changed_is_not_written_again(
    filled: Api, rows_written: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(routes, "MOST_ROWS_WRITTEN", rows_written)
    address = "/v1/exports/readings.csv"
    tag = filled.get(address).headers["etag"]
    again = filled.call("GET", address, headers={"If-None-Match": tag})
    assert (again.status_code, again.content) == (304, b"")
    filled.submit(visit("reed-01", "2026-03-20T09:00:00-05:00"), "otter")
    assert filled.call("GET", address, headers={"If-None-Match": tag}).status_code == 200
