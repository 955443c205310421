"""Real lists of sites go in through the mappings written for them; each oddity has the fate stated here.

The oddities are those that the folder's README counts. Printed with ``pytest -s``.
"""

import csv
from typing import Any

import pytest

from tests.api import Api, Json
from tests.intake.site_lists.lists import fates, post
from tests.real_input.class_files import FOLDER
from tests.real_input.sets import MAPPINGS, SCHOOL

pytestmark = pytest.mark.parametrize("backend", ["sqlite"], indirect=True, scope="session")
TOTALS: dict[str, dict[str, int]] = {
    "volunteer-sites.csv": {"stored": 46, "left_out": 1, "refused": 1},
    "federal-cruise-stations.xlsx": {"stored": 59},
    "state-lab-stations.csv": {"stored": 49},
    "national-exchange-stations-small.csv": {"stored": 5},
    "wsa-site-verification.csv": {"stored": 1362, "refused": 29},
}


def take_in(api: Api, name: str, **query: Any) -> Json:
    path = FOLDER / name
    if not path.is_file():
        pytest.skip(f"the open data file {name} is not beside the repository")
    school = {"code": SCHOOL, "name": "River School", "time_zone": "UTC"}
    assert api.post("/v1/schools", school).status_code in (201, 409)
    mapping = (MAPPINGS / f"{path.stem}.toml").read_text("utf-8")
    answer = post(api, path.read_bytes(), mapping, school=SCHOOL, **query)
    assert answer.status_code == 200, answer.text
    report: Json = answer.json()
    assert sum(report["totals"].values()) == report["rows_count"] == len(report["rows"])
    return report


def counted(report: Json) -> dict[str, int]:
    return {fate: number for fate, number in report["totals"].items() if number}


def said_of(report: Json, what: str) -> dict[int, str]:
    """Return what is said of each row of which something is said."""
    said = {row["row"]: "; ".join(one["reason"] for one in row[what]) for row in report["rows"]}
    return {number: words for number, words in said.items() if words}


def site(api: Api, code: str) -> Json:
    found: Json = api.get(f"/v1/sites/{code}", "coordinator").json()
    return found


def test_volunteers_sites_without_a_place_and_rows_that_are_no_site(empty_api: Api) -> None:
    report = take_in(empty_api, "volunteer-sites.csv")
    print(report["text"])
    assert counted(report) == TOTALS["volunteer-sites.csv"]
    # P140, PL045 and SW020 stand at 0, 0, as do the sum (left out) and the row without a code (refused).
    unknown = {
        row["site"] for row in report["rows"] if "0, 0" in str(row["remarks"]) and row["fate"] == "stored"
    }
    assert unknown == {"p140", "pl045", "sw020"}
    assert site(empty_api, "p140")["latitude"] is None
    assert fates(report)[-2:] == ["left_out", "refused"]
    assert "has no code" in said_of(report, "problems")[49]
    assert "pl050" not in {
        row["site"] for row in report["rows"]
    }  # no row, so no fate: readings there are refused
    # The water-body texts look moved against the codes; no row can tell, so none is a stream.
    assert {one["stream"] for one in empty_api.every("/v1/sites?limit=1000", "coordinator")} == {None}
    assert site(empty_api, "bb010")["name"] == "BB010"  # whose other cells are all #N/A


def test_stations_of_a_workbook_and_their_ranges_of_days(empty_api: Api) -> None:
    report = take_in(empty_api, "federal-cruise-stations.xlsx")
    print(report["text"])
    assert counted(report) == TOTALS["federal-cruise-stations.xlsx"]
    assert site(empty_api, "1")["established_on"] == "1969-05-22"
    assert site(empty_api, "12-5")["name"] == "Pinole Point"  # 12.5 in the list
    assert any("became the code 12-5" in words for words in said_of(report, "remarks").values())
    assert counted(take_in(empty_api, "federal-cruise-stations.xlsx")) == {"known": 59}


def test_laboratory_stations_without_coordinates_and_one_name_twice(empty_api: Api) -> None:
    report = take_in(empty_api, "state-lab-stations.csv")
    print(report["text"])
    assert counted(report) == TOTALS["state-lab-stations.csv"]
    remarks = said_of(report, "remarks").values()
    assert sum("no place is written" in words for words in remarks) == 8
    assert sum("has the same name" in words for words in remarks) == 2
    assert site(empty_api, "b9d75841349")["latitude"] is None


def test_codes_with_noughts_and_places_of_fourteen_decimals(empty_api: Api) -> None:
    report = take_in(empty_api, "national-exchange-stations-small.csv")
    print(report["text"])
    assert counted(report) == TOTALS["national-exchange-stations-small.csv"]
    stored = site(empty_api, "usgs-01405150")
    assert stored["watershed"] == {"scheme": "huc", "code": "02030105"}
    assert (stored["latitude"], stored["longitude"]) == (40.33138717, -74.2723682)
    assert stored["elevation_m"] == pytest.approx(160 * 0.3048)
    assert stored["name"] == "MILFORD BROOK AT HERBERTS CORNER, NJ"


def test_two_pairs_of_coordinates_held_against_one_another(empty_api: Api) -> None:
    report = take_in(empty_api, "wsa-site-verification.csv", dry_run="true")
    print(report["text"])
    assert counted(report) == {
        fate.replace("stored", "would_store"): number
        for fate, number in TOTALS["wsa-site-verification.csv"].items()
    }
    refused = said_of(report, "problems")
    with (FOLDER / "wsa-site-verification.csv").open(encoding="latin-1", newline="") as file:
        records = list(csv.DictReader(file))
    far = set()
    for number, row in enumerate(records, start=2):
        pairs = [row[name].strip() for name in ("MLAT_DD", "XLAT_DD", "MLON_DD", "XLON_DD")]
        if all(pairs):
            north, other_north, east, other_east = map(float, pairs)
            if abs(north - other_north) > 0.2 or abs(east - other_east) > 0.2:
                far.add(number)
    assert len(far) == 25  # the README says 26; row 517 differs by 0.19988
    assert far | {517} <= set(refused)
    slips = [words for words in refused.values() if "wrong digit" in words]
    assert len(slips) >= 6  # by exactly 1 or 2 degrees
    assert "latitude differs by 2 degrees" in refused[416]
    assert {922, 924} <= set(refused)  # latitude 15 to 16 in Missouri
    assert sum("second pair was taken" in words for words in said_of(report, "remarks").values()) == 146


def test_west_as_a_positive_number_agrees_with_decimal_degrees(empty_api: Api) -> None:
    path, mapping = FOLDER / "wsa-site-verification.csv", MAPPINGS / "wsa-site-verification.toml"
    if not path.is_file():
        pytest.skip("the open data file is not beside the repository")
    school = {"code": SCHOOL, "name": "River School", "time_zone": "UTC"}
    assert empty_api.post("/v1/schools", school).status_code == 201
    decimal = 'second = { latitude = { degrees = "MLAT_DD" }, longitude = { degrees = "MLON_DD" } }'
    written = (
        'second = { latitude = { degrees = "XLAT_DEG", minutes = "XLAT_MIN", seconds = "XLAT_SEC" }, '
        'longitude = { degrees = "XLON_DEG", minutes = "XLON_MIN", seconds = "XLON_SEC", '
        'positive = "west" } }'
    )
    text = mapping.read_text("utf-8")
    assert decimal in text
    rows = b"".join(path.read_bytes().splitlines(keepends=True)[:200])
    report = post(empty_api, rows, text.replace(decimal, written), school=SCHOOL, dry_run="true").json()
    assert counted(report) == {"would_store": 199}
    without = text.replace(decimal, written.replace(', positive = "west"', ""))
    assert counted(post(empty_api, rows, without, school=SCHOOL, dry_run="true").json())["refused"] > 150
