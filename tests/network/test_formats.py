"""The lists in every format: the same rows, the next page in the same format, and nothing private."""

import csv
import io
import json
from typing import Any

import openpyxl
import pyarrow.parquet as pq
import pytest

from service.network.columns import READINGS, SCORES, VISITS
from service.network.latest.columns import LATEST
from service.sites.columns import SITES
from tests.api import Api, catch, reading, visit

TABLES = {"sites": SITES, "visits": VISITS, "readings": READINGS, "scores": SCORES}
FORMATS = ("csv", "ndjson", "geojson", "parquet", "xlsx")
CATCH = catch(("Heptageniidae", 60), ("Chironomidae", 50))
EMPTY = (None, "")


@pytest.fixture
def filled(api: Api) -> Api:
    return api.once(_enter_visits)


def _enter_visits(api: Api) -> None:
    """Three days at each of three sites and one held visit; a code that a spreadsheet takes for a formula."""
    for site, key in (("reed-01", "otter"), ("reed-02", "heron"), ("fern-01", "otter")):
        for day in (1, 2, 3):
            body = visit(site, f"2026-03-0{day}T23:30:00-05:00", catch=CATCH, notes="gate code kestrel")
            body["readings"].append(
                reading("transparency", 60, "cm", censored=">", kit="transparency-tube-60")
            )
            api.submit(body, key)
    api.submit(visit("reed-02", "2026-03-03T12:00:00-05:00", readings=[reading("ph", 15)]))


def rows_in(content: bytes, kind: str) -> list[dict[str, Any]]:
    """Read the rows of a file with a reader that is not ours."""
    if kind == "csv":
        return list(csv.DictReader(io.StringIO(content.decode(), newline="")))
    if kind == "ndjson":
        return [json.loads(line) for line in content.decode().splitlines()]
    if kind == "geojson":
        return [feature["properties"] for feature in json.loads(content)["features"]]
    if kind == "parquet":
        return pq.read_table(io.BytesIO(content)).to_pylist()
    header, *lines = openpyxl.load_workbook(io.BytesIO(content)).worksheets[0].iter_rows(values_only=True)
    return [dict(zip(header, line, strict=True)) for line in lines]


def plain(row: dict[str, Any], table: Any) -> list[str]:
    """Return the cells of a row alike for all formats."""
    cells = []
    for column in table.columns:
        value = row[column.name]
        if value in EMPTY:
            cells.append("")
        elif column.kind.value in ("number", "whole number"):
            cells.append(repr(float(value)))
        else:
            cells.append(str(value)[:10] if column.kind.value == "date" else str(value))
    return cells


@pytest.mark.parametrize("name", TABLES)
def test_every_format_of_a_list_holds_the_same_rows(filled: Api, name: str) -> None:
    table = TABLES[name]
    items = filled.get(f"/v1/{name}").json()["items"]
    held = {
        kind: [plain(row, table) for row in rows_in(filled.get(f"/v1/{name}.{kind}").content, kind)]
        for kind in FORMATS
    }
    assert len(held["csv"]) == len(items) > 0
    assert [kind for kind in FORMATS if held[kind] != held["csv"]] == []


@pytest.mark.parametrize("name", ["sites", "readings"])
def test_a_flat_row_says_what_json_says(filled: Api, name: str) -> None:
    items = filled.get(f"/v1/{name}").json()["items"]
    rows = rows_in(filled.get(f"/v1/{name}.ndjson").content, "ndjson")
    for item in items:
        watershed = item.pop("watershed", None)
        if watershed:
            item |= {f"watershed_{part}": watershed[part] for part in ("scheme", "code")}
    assert rows == items


@pytest.mark.parametrize("name", TABLES)
@pytest.mark.parametrize("kind", FORMATS)
def test_the_ending_f_and_accept_give_the_same(filled: Api, name: str, kind: str) -> None:
    by_ending = filled.get(f"/v1/{name}.{kind}?limit=2&watershed=0207")
    assert by_ending.status_code == 200
    media_type = by_ending.headers["content-type"].split(";")[0]
    by_f = filled.get(f"/v1/{name}?f={kind}&limit=2&watershed=0207")
    by_accept = filled.call("GET", f"/v1/{name}?limit=2&watershed=0207", headers={"Accept": media_type})
    assert by_ending.content == by_f.content == by_accept.content
    assert by_ending.headers["content-type"] == by_f.headers["content-type"]


def next_of(answer: Any) -> str | None:
    links = {
        one.split("; rel=")[1].strip('"'): one.split(">")[0][1:] for one in answer.headers["link"].split(", ")
    }
    assert links["license"].startswith("https://")
    assert "/v1/schema/" in links["describedby"]
    return links.get("next")


@pytest.mark.parametrize("name", TABLES)
@pytest.mark.parametrize(
    ("address", "headers"),
    [("/v1/{name}.csv?limit=2&watershed=02", {}), ("/v1/{name}?f=csv&limit=2&watershed=02", {}),
     ("/v1/{name}?limit=2&watershed=02", {"Accept": "text/csv"})],
)  # fmt: skip
def test_pages_keep_their_filters_and_their_format(
    filled: Api, name: str, address: str, headers: dict[str, str]
) -> None:
    whole = rows_in(filled.get(f"/v1/{name}.csv?watershed=02&limit=1000").content, "csv")
    answer = filled.call("GET", address.format(name=name), headers=headers)
    rows = rows_in(answer.content, "csv")
    while following := next_of(answer):
        assert "watershed=02" in following
        answer = filled.get(following)
        rows += rows_in(answer.content, "csv")
    assert rows == whole
    assert len(whole) > 2


def test_measured_numbers_are_always_floats_and_censoring_stands_beside_them(filled: Api) -> None:
    rows = rows_in(filled.get("/v1/readings.csv").content, "csv")
    (ph,) = {(row["value"], row["unit"]) for row in rows if row["parameter"] == "ph"}
    assert ph == ("7.0", "std units")
    (tube,) = {
        (row["value"], row["censored"], row["low"], row["high"])
        for row in rows
        if row["parameter"] == "transparency"
    }
    assert tube == ("60.0", ">", "60.0", "")


def test_local_date_and_zone_are_told_and_the_hour_is_not(filled: Api) -> None:
    for kind in ("csv", "ndjson", "geojson"):
        text = filled.get(f"/v1/readings.{kind}?to=2026-03-01").text
        assert "2026-03-01" in text  # at 23:30 it was the next day in UTC
        assert "America/New_York" in text
        assert "2026-03-02" not in text
        assert "23:30" not in text
        assert "04:30" not in text
        assert "kestrel" not in text


@pytest.mark.parametrize(
    ("key", "exact"), [(None, set()), ("reader", set()), ("heron", {"reed-02"}), ("coordinator", set("all"))]
)
def test_a_place_is_exact_only_for_its_school_and_the_coordinator(
    filled: Api, key: str | None, exact: set[str]
) -> None:
    everywhere = {"reed-01", "reed-02", "fern-01"}
    for name in ("sites", "visits", "readings", "scores"):
        features = json.loads(filled.get(f"/v1/{name}.geojson?state=released" if name != "sites" else
                                         "/v1/sites.geojson", key).content)["features"]  # fmt: skip
        column = "code" if name == "sites" else "site"
        places = {feature["properties"][column]: feature["geometry"]["coordinates"] for feature in features}
        sees = everywhere if key == "coordinator" else exact
        assert places == {
            site: [-75.654321, 40.123456] if site in sees else [-75.654, 40.123] for site in everywhere
        }


def test_a_held_visit_is_in_no_file_of_the_public(filled: Api) -> None:
    for kind in FORMATS:
        public = rows_in(filled.get(f"/v1/visits.{kind}").content, kind)
        own = rows_in(filled.get(f"/v1/visits.{kind}", "heron").content, kind)
        assert {row["state"] for row in public} == {"released"}
        assert len(own) == len(public) + 1


def test_codes_of_watersheds_keep_their_zeros_as_text(filled: Api) -> None:
    for kind in FORMATS:
        rows = rows_in(filled.get(f"/v1/sites.{kind}").content, kind)
        assert rows[0]["watershed_code"] == "020801020304"


@pytest.mark.parametrize(
    "address",
    [
        "/v1/visits.pdf",
        "/v1/sites.",
        "/v1/sites/latest.pdf",
        "/v1/coverage.",
        "/v1/exports/readings.xlsx",
        "/v1/schema/x.json",
    ],
)
def test_an_ending_that_is_none_is_not_there(filled: Api, address: str) -> None:
    assert filled.get(address).status_code == 404


def test_a_format_that_is_none_is_a_bad_question(filled: Api) -> None:
    answer = filled.get("/v1/visits?f=pdf")
    assert answer.status_code == 400
    assert "f:" in answer.json()["detail"]


def test_addresses_of_one_visit_and_one_site_stay_what_they_were(filled: Api) -> None:
    visit_id = filled.get("/v1/visits").json()["items"][0]["visit_id"]
    assert filled.get(f"/v1/visits/{visit_id}").json()["visit_id"] == visit_id
    assert filled.get("/v1/sites/reed-01").json()["code"] == "reed-01"
    assert filled.get("/v1/visits.json").json() == filled.get("/v1/visits").json()


@pytest.mark.parametrize("kind", FORMATS)
def test_what_was_measured_last_comes_as_a_row_for_each_site_and_parameter(filled: Api, kind: str) -> None:
    asked = "?parameter=ph,transparency,nitrate"
    answer = filled.get(f"/v1/sites/latest.{kind}{asked}")
    rows = [plain(row, LATEST) for row in rows_in(answer.content, kind)]
    expected = [
        [site["site"], one["parameter"], one["value"], one["censored"], one["observed_on"]]
        for site in filled.get(f"/v1/sites/latest{asked}").json()["items"]
        for one in site["readings"]
    ]
    places = [LATEST.names.index(name) for name in ("site", "parameter", "value", "censored", "observed_on")]
    read = [[row[place] for place in places] for row in rows]
    assert read == [["" if cell is None else str(cell) for cell in line] for line in expected]
    assert len(read) == 9
    assert ("40.123456" in str(rows)) is False


@pytest.mark.parametrize("kind", FORMATS)
def test_coverage_comes_as_a_row_for_each_site_and_week_also_of_nobody(filled: Api, kind: str) -> None:
    answer = filled.get(f"/v1/coverage.{kind}?from=2026-02-23&to=2026-03-15")
    rows = rows_in(answer.content, kind)
    # 1 March 2026 is a Sunday: the last day of week 9 by ISO 8601.
    told = [(row["site"], row["week"], int(row["visits"])) for row in rows]
    assert told == [
        (site, week, visits)
        for site in ("fern-01", "reed-01", "reed-02")
        for week, visits in (("2026-W09", 1), ("2026-W10", 2), ("2026-W11", 0))
    ]
    assert {row["overdue"] for row in rows} == {"no"}


def test_a_file_of_many_weeks_has_fewer_sites_and_leads_to_the_rest(filled: Api) -> None:
    address = "/v1/coverage.csv?from=1900-01-01&to=2199-12-31&limit=1000"
    answer = filled.get(address)
    assert {row["site"] for row in rows_in(answer.content, "csv")} == {"fern-01"}
    assert "limit=1&" in str(next_of(answer))


@pytest.mark.parametrize("address", ["/v1/sites/latest.csv", "/v1/coverage.csv"])
def test_a_file_that_counts_to_today_has_the_tag_of_its_bytes(filled: Api, address: str) -> None:
    tag = filled.get(address).headers["etag"]
    assert filled.call("GET", address, headers={"If-None-Match": tag}).status_code == 304
    part = filled.call("GET", address, headers={"Range": "bytes=0-3", "If-Range": tag.replace("-gz", "")})
    assert (part.status_code, part.content) == (206, b"site")
