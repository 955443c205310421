"""The template as a school fetches it."""

import io
from pathlib import Path

import openpyxl
import pytest

from service.core.formats.negotiate import Format
from tests.api import Api
from tests.intake.template.filled import WHEN, fill

pytestmark = pytest.mark.parametrize("backend", ["sqlite"], indirect=True, scope="session")
CARD = {
    "code": "our-card", "name": "Our card", "kind": "strip", "parameter": "ph", "unit": "std units",
    "lower": 4, "upper": 9, "step": 1, "reads_zero": False,
}  # fmt: skip


def heads(answer: bytes, sheet: str = "visits") -> list[str]:
    return [cell.value for cell in openpyxl.load_workbook(io.BytesIO(answer))[sheet][1]]


def listed_sites(answer: bytes) -> set[str]:
    page = openpyxl.load_workbook(io.BytesIO(answer))["what to write"]
    return {row[1].value for row in page.iter_rows() if row[1].value} & {"reed-01", "reed-02", "fern-01"}


@pytest.mark.parametrize(
    ("query", "sites"),
    [
        ("", {"reed-01", "reed-02", "fern-01"}),
        ("?school=heron", {"reed-02"}),
        ("?school=otter&site=fern-01", {"fern-01"}),
    ],
)
def test_it_lists_the_sites_that_are_asked_for(api: Api, query: str, sites: set[str]) -> None:
    answer = api.get(f"/v1/template.xlsx{query}")
    assert answer.status_code == 200
    assert answer.headers["content-type"] == Format.XLSX.media_type
    assert listed_sites(answer.content) == sites


def test_it_has_a_column_for_each_kit_also_of_the_networks_own(api: Api) -> None:
    assert api.post("/v1/kits", CARD).status_code == 201
    found = heads(api.get("/v1/template.xlsx?kits=our-card,nitrate-strip&parameters=water_depth").content)
    assert [head for head in found if "[" in head and "mm]" not in head and "air" not in head] == [
        "pH [std units] our-card",
        "nitrate [mg/L as NO3] nitrate-strip",
        "depth of the water [m]",
    ]


def test_the_csv_has_the_same_columns_in_one_list(api: Api) -> None:
    query = "?school=heron&kits=ph-meter&counting=letters"
    first, example = api.get(f"/v1/template.csv{query}").text.splitlines()
    book = api.get(f"/v1/template.xlsx{query}").content
    wanted = [*heads(book), *(head for head in heads(book, "catch") if head not in heads(book))]
    assert first.split(",") == wanted
    assert example.startswith("example,reed-02,2026-03-12,10:15")


NOT_THERE = ("school=nobody", "site=nowhere", "kits=ph-meter,none-such", "parameters=ph,bpm")


@pytest.mark.parametrize("part", [*NOT_THERE, "school=heron&site=fern-01"])
def test_what_is_not_there_is_told(api: Api, part: str) -> None:
    answer = api.get(f"/v1/template.xlsx?{part}")
    assert answer.status_code == 400
    assert part.rsplit("=", 1)[-1].rsplit(",", 1)[-1] in answer.json()["detail"]


@pytest.mark.parametrize("query", ["counting=tally", "paper=a3", "kits=ph;meter"])
def test_what_cannot_be_asked_is_refused(api: Api, query: str) -> None:
    assert api.get(f"/v1/template.xlsx?{query}").status_code == 400


def test_the_filled_workbook_is_taken_in_and_sent_again_doubles_nothing(api: Api, tmp_path: Path) -> None:
    content = api.get("/v1/template.xlsx?school=heron&kits=ph-meter").content
    visit = {"site": "reed-02", **WHEN, "pH [std units] ph-meter": 7.4}
    caught = {"site": "reed-02", **WHEN, "animal": "mayfly", "count": 14}
    path = fill(content, tmp_path / "filled.xlsx", (visit,), (caught, caught | {"animal": "scud"}))
    for fates in (["left_out", "stored", "left_out", "merged", "merged"],
                  ["left_out", "known", "left_out", "merged", "merged"]):  # fmt: skip
        report = api.call("POST", "/v1/imports", "heron", content=path.read_bytes())
        assert report.status_code == 200, report.text
        assert [row["fate"] for row in report.json()["rows"]] == fates
    (found,) = api.every("/v1/visits", "heron")
    stored = api.get(f"/v1/visits/{found['visit_id']}", "heron").json()
    assert [(one["parameter"], one["value"], one["kit"]) for one in stored["readings"]] == [
        ("ph", 7.4, "ph-meter")
    ]
    assert len(stored["catch"]["counts"]) == 2
