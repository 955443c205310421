"""Whole lists: every row once, told to be whole, in flat memory."""

import csv
import io
import json
from typing import Any

import pyarrow.parquet as pq
import pytest
from sqlalchemy import event

from service.network.exports import whole
from service.network.pages import VISIT_LIST
from service.network.schemas import VisitChoice
from service.visits.question import Question
from tests.api import Api, catch, reading, visit

LISTS = ("sites", "visits", "readings", "scores")
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
        held = [out for _ in whole.whole_list(engine, Question(), VISIT_LIST, VisitChoice())]
    finally:
        event.remove(engine, "checkout", taken)
        event.remove(engine, "checkin", given_back)
    assert held == [0] * 5
