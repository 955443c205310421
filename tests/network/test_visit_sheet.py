"""The sheet for people: a row a visit, a column a parameter, and what a number alone would hide beside it."""

import csv
import io
from typing import Any

import openpyxl
import pytest

from service.network.exports import routes
from tests.api import Api, reading, visit

SHEET = "/v1/exports/visit-sheet"
TUBE = {"censored": ">", "kit": "transparency-tube-60"}


@pytest.fixture
def filled(api: Api) -> Api:
    """One visit with two readings of pH and a full tube; one that failed a reading and was let out."""
    twice = [reading("ph", 7.1, kit="ph-meter", replicate=1), reading("ph", 7.3, kit="ph-meter", replicate=2)]
    api.submit(visit(readings=[*twice, reading("transparency", 60, "cm", **TUBE)]))
    wrong = visit("reed-01", "2026-03-13T10:00:00-05:00", readings=[
        reading("ph", 15), reading("water_temperature", 6, "degC")
    ])  # fmt: skip
    held = api.submit(wrong, "otter")
    body = {"action": "release", "reason": "the rest is good"}
    assert api.post(f"/v1/visits/{held['visit_id']}/decisions", body).status_code == 200
    return api


def sheet(api: Api, more: str = "") -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(api.get(f"{SHEET}.csv{more}").text, newline="")))


def test_each_parameter_has_its_column_with_its_unit(filled: Api) -> None:
    first, second = sheet(filled)
    assert (first["ph (std units)"], first["transparency (cm)"]) == ("7.1", "60.0")
    assert first["censored"] == "transparency > 60 cm"
    assert (first["nitrate (mg/L as N)"], first["suspect"]) == ("", "")
    assert (second["ph (std units)"], second["water_temperature (degC)"]) == ("", "6.0")
    assert len({tuple(row) for row in (first, second)}) == 1


def test_only_the_wanted_parameters_and_visits_come(filled: Api) -> None:
    (row,) = sheet(filled, "?parameter=ph,nitrate&site=reed-02")
    assert [name for name in row if "(" in name] == ["nitrate (mg/L as N)", "ph (std units)"]
    assert filled.get(f"{SHEET}.csv?parameter=colour").status_code == 400


def test_the_workbook_says_the_same_and_explains_its_columns(filled: Api) -> None:
    answer = filled.get(f"{SHEET}.xlsx")
    assert answer.headers["content-rows"] == "2"
    book = openpyxl.load_workbook(io.BytesIO(answer.content))
    head, *rows = book["visit-sheet"].iter_rows(values_only=True)
    read: list[dict[str, Any]] = [dict(zip(head, row, strict=True)) for row in rows]
    assert [(row["ph (std units)"], row["transparency (cm)"]) for row in read] == [(7.1, 60), (None, None)]
    told = {line[0]: line[1] for line in book["dictionary"].iter_rows(values_only=True)}
    assert told["transparency (cm)"] == "cm"


def test_a_book_of_too_many_visits_is_refused_with_what_to_do(
    filled: Api, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(routes, "MOST_ROWS_WRITTEN", 1)
    answer = filled.get(f"{SHEET}.xlsx")
    assert answer.status_code == 400
    assert "2 visits" in answer.json()["detail"]
    assert len(sheet(filled)) == 2
