"""The network's own template, fetched, filled and sent back: its two sheets make whole visits."""

import io
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from tests.api import Api, Json
from tests.intake.imports.files import fates, send
from tests.intake.template.filled import CATCH, OXYGEN, THERMOMETER, WHEN, Row, fill

pytestmark = pytest.mark.parametrize("backend", ["sqlite"], indirect=True, scope="session")
WORKBOOK = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
KITS = "thermometer-alcohol,oxygen-tablet-comparator"
VISIT = {"site": "reed-02", **WHEN, THERMOMETER: 6.5, OXYGEN: 8}
ANIMALS = tuple(dict(row) | {"site": "reed-02"} for row in CATCH)


def template(api: Api, ending: str) -> Any:
    answer = api.get(f"/v1/template.{ending}?school=heron&kits={KITS}", "heron")
    assert answer.status_code == 200, answer.text
    return answer.content


def sent_back(api: Api, folder: Path, visits: tuple[Row, ...], catch: tuple[Row, ...], **query: Any) -> Any:
    path = fill(template(api, "xlsx"), folder / "filled.xlsx", visits, catch)
    return send(api, path.read_bytes(), kind=WORKBOOK, **query)


def told(report: Json) -> list[tuple[str, int, str]]:
    return [(row["sheet"], row["row"], row["fate"]) for row in report["rows"] if row["fate"] != "left_out"]


def test_the_animals_of_the_second_sheet_belong_to_the_visit_of_the_first(api: Api, tmp_path: Path) -> None:
    report = sent_back(api, tmp_path, (VISIT,), ANIMALS).json()
    assert report["mapping"] == "template"
    assert report["sheets"] == ["visits", "catch"]
    assert told(report) == [("visits", 3, "stored"), ("catch", 3, "merged"), ("catch", 4, "merged")]
    (visit,) = report["visits"]
    assert (visit["sheet"], visit["row"]) == ("visits", 3)
    stored = api.get(f"/v1/visits/{visit['visit_id']}", "heron").json()
    assert len(stored["readings"]) == 2
    assert [one["written_name"] for one in stored["catch"]["counts"]] == ["mayfly", "Hydropsychidae"]
    assert set(fates(sent_back(api, tmp_path, (VISIT,), ANIMALS).json())) == {"known", "merged", "left_out"}


def test_a_bad_row_of_one_sheet_is_told_by_its_sheet_on_the_other(api: Api, tmp_path: Path) -> None:
    bad = (ANIMALS[0], ANIMALS[1] | {"count": "some"})
    report = sent_back(api, tmp_path, (VISIT,), bad).json()
    assert {fate for _, _, fate in told(report)} == {"refused"}
    first = next(row for row in report["rows"] if (row["sheet"], row["row"]) == ("visits", 3))
    assert first["problems"][0]["reason"] == "row 4 of sheet catch of the same visit was refused"


def test_the_report_as_a_workbook_has_both_sheets_and_goes_in_when_it_is_mended(
    api: Api, tmp_path: Path
) -> None:
    bad = (ANIMALS[0], ANIMALS[1] | {"count": "some"})
    answer = sent_back(api, tmp_path, (VISIT,), bad, f="xlsx")
    book = openpyxl.load_workbook(io.BytesIO(answer.content))
    assert book.sheetnames == ["visits", "catch"]
    heads = [cell.value for cell in book["catch"][1]]
    assert [row[-3].value for row in book["catch"].iter_rows(min_row=3)] == ["refused", "refused"]
    book["catch"].cell(4, heads.index("count") + 1).value = 3
    mended = io.BytesIO()
    book.save(mended)
    report = send(api, mended.getvalue(), kind=WORKBOOK).json()
    assert told(report) == [("visits", 3, "stored"), ("catch", 3, "merged"), ("catch", 4, "merged")]


def test_a_template_as_it_was_fetched_holds_only_its_example(api: Api) -> None:
    for ending in ("csv", "xlsx"):
        report = send(api, template(api, ending), kind="application/octet-stream").json()
        assert set(fates(report)) == {"left_out"}
        assert all("example" in row["remarks"][0]["reason"] for row in report["rows"])


def test_the_list_as_text_brings_readings_and_animals(api: Api) -> None:
    head, *_ = template(api, "csv").decode("utf-8-sig").splitlines()
    names = head.split(",")
    rows = [{"site": "reed-02", "date": "2026-04-09", "time": "09:40", THERMOMETER: 6.5, **animal}
            for animal in ({"animal": "mayfly", "count": 14}, )]  # fmt: skip
    lines = [",".join(str(row.get(name, "")) for name in names) for row in rows]
    report = send(api, "\r\n".join([head, *lines]).encode()).json()
    assert fates(report) == ["stored"]
