"""A list of sites goes in without retyping, and nothing that is wrong in it goes in silently."""

import csv
import io
from typing import Any

import pytest
from openpyxl import load_workbook

from tests.api import Api, Json
from tests.intake.site_lists.lists import HEAD, MAPPING, fates, line, post, send, sheet, told

pytestmark = pytest.mark.parametrize("backend", ["sqlite"], indirect=True, scope="session")


def without_second(**more: Any) -> Json:
    place = {name: MAPPING["place"][name] for name in ("latitude", "longitude")}
    return MAPPING | {"place": place} | more


def test_what_stands_in_the_list_is_what_is_stored(api: Api) -> None:
    report = send(api, line(), dry_run="true")
    assert fates(report) == ["would_store"]
    assert api.get("/v1/sites/elm-01", "coordinator").status_code == 404
    assert fates(send(api, line())) == ["stored"]
    assert api.get("/v1/sites/elm-01", "coordinator").json() == {
        "code": "elm-01", "name": "Elm Elm-01", "school": "heron", "stream": None, "stream_km": None,
        "latitude": 40.5, "longitude": -75.25, "public_decimals": 3,
        "elevation_m": 304.8,  # 1 ft is 0.3048 m exactly (NIST SP 811, appendix B)
        "watershed": {"scheme": "huc", "code": "02030105"}, "water_class": "cold",
        "time_zone": "America/Denver", "established_on": "1969-05-22",
    }  # fmt: skip


def test_sent_again_nothing_is_doubled_and_changed_only_where_asked(api: Api) -> None:
    send(api, line())
    assert fates(send(api, line())) == ["known"]
    other = line(Name="Elm Mill", Lat=40.51, Feet="")
    changed = send(api, other)
    assert (fates(changed), changed["rows"][0]["differs"]) == (["changed"], ["latitude", "name"])
    assert "revise=true" in changed["rows"][0]["advice"]
    assert fates(send(api, other, revise="true", dry_run="true")) == ["would_store"]
    assert api.get("/v1/sites/elm-01", "coordinator").json()["name"] == "Elm Elm-01"
    assert fates(send(api, other, revise="true")) == ["revised"]
    site = api.get("/v1/sites/elm-01", "coordinator").json()
    # An empty cell empties nothing.
    assert (site["name"], site["latitude"], site["elevation_m"]) == ("Elm Mill", 40.51, 304.8)
    assert fates(send(api, other)) == ["known"]


def test_a_site_of_another_school_is_not_taken_over(api: Api) -> None:
    report = send(api, line("reed-01"), revise="true")
    assert fates(report) == ["refused"]
    assert "school otter" in told(report)[0]


def test_the_same_code_twice_is_one_site_or_none(api: Api) -> None:
    report = send(
        api, line(), line(), line("oak-1"), line("oak-1", Lat=41), line("OAK-2"), line("oak-2", Lat="x")
    )
    assert fates(report) == ["stored", "merged", *["refused"] * 4]
    assert any("also in row 5" in one for one in told(report))
    assert report["rows"][1]["advice"] == "It is the same as row 2."


def test_rows_that_are_no_site(api: Api) -> None:
    report = send(api, line("Total", Sort="sum"), line(""), line("elm/01"), line())
    assert fates(report) == ["left_out", "refused", "refused", "stored"]
    assert told(report, "remarks")[0] == ": a sum, no site"
    assert ["no code" in one for one in told(report)] == [True, True]
    with_sign = send(api, line("elm/07"), mapping=MAPPING | {"code_sign": "-"})
    assert (fates(with_sign), with_sign["rows"][0]["site"]) == (["stored"], "elm-07")


@pytest.mark.parametrize(
    ("cells", "fate", "place"),
    [
        ({"Lat": 0, "Lon": "0.0"}, "stored", (None, None)),
        ({"Lat": "", "Lon": ""}, "stored", (None, None)),
        ({"Lat": "", "Lon": "", "Lat 2": 40.4, "Lon 2": -75.2}, "stored", (40.4, -75.2)),
        ({"Lat 2": 40.51, "Lon 2": -75.26}, "stored", (40.5, -75.25)),
        ({"Lat": ""}, "refused", None),
        ({"Lat 2": 40.5}, "refused", None),
        ({"Lat": 95}, "refused", None),
    ],
)
def test_places_that_are_not_known(api: Api, cells: Json, fate: str, place: Any) -> None:
    report = send(api, line(**cells))
    assert fates(report) == [fate]
    if place:
        site = api.get("/v1/sites/elm-01", "coordinator").json()
        assert (site["latitude"], site["longitude"]) == place
        assert bool(report["rows"][0]["remarks"]) == (place != (40.5, -75.25))


@pytest.mark.parametrize(
    ("second", "slip"),
    [
        ((41.5, -75.25), "latitude differs by 1 degree"),
        ((40.5, -77.25), "longitude differs by 2 degrees"),
        ((40.5, 75.25), "minus sign"),
        ((-75.25, 40.5), "swapped"),
        ((40.5, -40.5), "same number"),
        ((16.27, -5.41), "Correct the wrong one"),
    ],
)
def test_two_places_that_should_be_one(api: Api, second: tuple[float, float], slip: str) -> None:
    report = send(api, line(**{"Lat 2": second[0], "Lon 2": second[1]}))
    assert fates(report) == ["refused"]
    (reason,) = told(report)
    assert "40.50000, -75.25000" in reason
    assert f"{second[0]:.5f}, {second[1]:.5f}" in reason
    assert slip in reason


@pytest.mark.parametrize(
    ("datum", "fate", "said"),
    [
        ("WGS 84", "stored", ""),
        ("nad83", "stored", ""),
        ("", "stored", "no datum is written"),
        ("NAD27", "refused", "10 to 100 m"),
        ("Local 1950", "refused", "several hundred metres"),
    ],
)
def test_datums(api: Api, datum: str, fate: str, said: str) -> None:
    report = send(api, line(Datum=datum))
    assert fates(report) == [fate]
    assert said in "".join([*told(report), *told(report, "remarks")])


@pytest.mark.parametrize(
    ("column", "value", "said"),
    [
        ("HUC", "2030105", "7 digits"),
        ("HUC", "99030105", "hydrologic unit code"),
        ("Water", "tepid", "cold"),
        ("Since", "1969", "bare number"),
        ("Feet", "high", "not a number"),
        ("Feet", 99999, "6000"),
        ("Name", "", "missing"),
    ],
)
def test_what_cannot_be_is_refused_with_its_column(api: Api, column: str, value: object, said: str) -> None:
    report = send(api, line(**{column: value}))
    assert fates(report) == ["refused"]
    assert said in told(report)[0]
    assert told(report)[0].startswith(f"{column} (column ")


DMS = {
    "latitude": {"degrees": 3, "minutes": 5, "seconds": 7},
    "longitude": {"degrees": 4, "minutes": 6, "seconds": 8},
}
WEST = DMS | {"longitude": DMS["longitude"] | {"positive": "west"}}
WORDS = {
    "latitude": DMS["latitude"] | {"hemisphere": 9},
    "longitude": DMS["longitude"] | {"hemisphere": 10},
}


@pytest.mark.parametrize(
    ("place", "cells", "wanted"),
    [
        # 32 deg 52' 15" is 32.870833, 109 deg 11' 51" is 109.1975 (counted by hand)
        (DMS, (32, -109, 52, 11, 15, 51, "", ""), (32.870833, -109.1975)),
        (WEST, (32, 109, 52, 11, 15, 51, "", ""), (32.870833, -109.1975)),
        (WORDS, (32, 109, 52, 11, 15, 51, "n", "West"), (32.870833, -109.1975)),
        (WORDS, (0, 0, 30, 30, "", "", "S", "E"), (-0.5, 0.5)),
        (DMS, ("-0", 1, 30, 0, 0, 0, "", ""), (-0.5, 1.0)),
        (WORDS, (32, -109, 52, 11, 15, 51, "N", "W"), "minus sign"),
        (WORDS, (32, 109, 52, 11, 15, 51, "N", ""), "which side"),
        (DMS, (32, -109, 60, 11, 15, 51, "", ""), "below 60"),
        (DMS, (32.5, -109, 52, 11, 15, 51, "", ""), "decimals"),
        (DMS, ("", -109, 52, 11, 15, 51, "", ""), "no degrees"),
    ],
)
def test_degrees_minutes_and_seconds(api: Api, place: Json, cells: tuple[object, ...], wanted: Any) -> None:
    head = ("Code", "Name", "a", "b", "c", "d", "e", "f", "g", "h")
    mapping = {name: MAPPING[name] for name in ("code", "name", "time_zone")} | {"place": place}
    report = post(api, sheet(("elm-9", "Elm", *cells), head=head), mapping, school="heron").json()
    if isinstance(wanted, str):
        assert wanted in told(report)[0]
    else:
        site = api.get("/v1/sites/elm-9", "coordinator").json()
        assert (site["latitude"], site["longitude"]) == pytest.approx(wanted, abs=1e-6)


def test_schools_by_column_and_schools_that_are_not_there(api: Api) -> None:
    mapping = MAPPING | {"school": {"column": "Sort"}, "only": []}
    rows = sheet(line(Sort="Heron"), line("elm-02", Sort="otter"), line("elm-03", Sort="ibis"))
    assert fates(post(api, rows, mapping, dry_run="true").json()) == ["would_store", "would_store", "refused"]
    report = post(api, rows, mapping).json()
    assert fates(report) == ["stored", "stored", "refused"]
    assert "no school ibis" in told(report)[0]
    assert api.get("/v1/sites/elm-02", "coordinator").json()["school"] == "otter"
    assert post(api, rows, mapping, school="heron").status_code == 400
    assert post(api, rows).status_code == 400


def test_two_sites_of_one_name_are_told(api: Api) -> None:
    report = send(api, line(Name="Elm"), line("elm-02", Name="Elm"))
    assert fates(report) == ["stored", "stored"]
    assert ["elm-02 has the same name" in one for one in told(report, "remarks")] == [True, False]


@pytest.mark.parametrize(
    ("mapping", "said"),
    [
        (without_second(code={"value": "elm-01"}), "column of the codes"),
        ("code = 3", "/code"),
        ("code = [", "TOML"),
        (MAPPING | {"place": MAPPING["place"] | {"apart_km": None}}, "belong together"),
        (MAPPING | {"place": DMS | {"latitude": {"degrees": 3, "positive": "west"}}}, "north or south"),
        (MAPPING | {"name": {"column": "Nmae"}}, "did you mean Name"),
    ],
)
def test_a_mapping_that_cannot_be(api: Api, mapping: Json | str, said: str) -> None:
    answer = post(api, sheet(line()), mapping, school="heron")
    assert answer.status_code == 422
    assert said in answer.text


def test_the_report_as_the_list_itself(api: Api) -> None:
    rows = sheet(line(), line("", Name="=1+1"))
    as_csv = post(api, rows, school="heron", f="csv", dry_run="true")
    lines = list(csv.reader(io.StringIO(as_csv.content.decode("utf-8-sig"))))
    assert lines[0][-3:] == ["fate", "what is wrong", "what to do"]
    assert [one[len(HEAD)] for one in lines[1:]] == ["would_store", "refused"]
    assert lines[2][1] == "'=1+1"
    book = load_workbook(io.BytesIO(post(api, rows, school="heron", f="xlsx", dry_run="true").content))
    assert [row[len(HEAD)].value for row in book.worksheets[0].iter_rows(min_row=2)] == [
        "would_store",
        "refused",
    ]


def test_without_a_mapping_nothing_is_read(api: Api) -> None:
    answer = api.call("POST", "/v1/imports/sites?school=heron", "coordinator", content=sheet(line()))
    assert (answer.status_code, answer.json()["errors"][0]["pointer"]) == (422, "/mapping")
