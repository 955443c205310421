"""Sites: entered whole, changed only where a patch says so, their exact place kept from the public."""

from typing import Any

import pytest

from tests.api import Api
from tests.broken_rules import misjudged

ASH = {
    "code": "ash-01",
    "name": "Ash footbridge",
    "school": "heron",
    "stream": "ash",
    "stream_km": 3.5,
    "latitude": 40.987654,
    "longitude": -75.123456,
    "public_decimals": 3,
    "elevation_m": 210.0,
    "watershed": {"scheme": "huc", "code": "0207001001"},
    "water_class": "cold",
    "time_zone": "America/Chicago",
    "established_on": "2025-04-01",
}


@pytest.fixture
def heron(empty_api: Api) -> Api:
    """One school and no site."""
    school = {"code": "heron", "name": "Heron School", "time_zone": "America/New_York"}
    assert empty_api.post("/v1/schools", school).status_code == 201
    return empty_api


@pytest.fixture
def with_ash(heron: Api) -> Api:
    assert heron.post("/v1/sites", ASH).status_code == 201
    return heron


@pytest.fixture
def beside_others(api: Api) -> Api:
    """Ash among the sites of two schools, with a key for each kind of caller."""
    assert api.post("/v1/sites", ASH).status_code == 201
    return api


def patch(api: Api, body: Any, code: str = "ash-01") -> Any:
    return api.call("PATCH", f"/v1/sites/{code}", "coordinator", json=body)


def ash(api: Api, key: str | None = "coordinator") -> dict:
    return api.get("/v1/sites/ash-01", key).json()


def test_a_new_site_is_answered_as_entered_and_reads_back_the_same(heron: Api) -> None:
    answer = heron.post("/v1/sites", ASH)
    assert (answer.status_code, answer.json()) == (201, answer.json() | ASH)
    assert ash(heron) == answer.json()


def test_a_site_needs_no_more_than_code_name_and_school(heron: Api) -> None:
    answer = heron.post("/v1/sites", {"code": "ash-01", "name": "Ash", "school": "heron"})
    assert answer.status_code == 201
    left_out = dict.fromkeys(ASH) | {"code": "ash-01", "name": "Ash", "school": "heron"}
    # The time zone is the school's, the place is rounded to three decimals: about 100 m (common practice).
    left_out |= {"time_zone": "America/New_York", "public_decimals": 3}
    assert answer.json() == answer.json() | left_out


def test_measured_numbers_are_written_as_floats(heron: Api) -> None:
    text = heron.post("/v1/sites", ASH | {"latitude": 40, "elevation_m": 210}).text
    assert '"latitude":40.0' in text
    assert '"elevation_m":210.0' in text


def test_a_taken_code_is_refused_and_changes_nothing(with_ash: Api) -> None:
    before = ash(with_ash)
    assert with_ash.post("/v1/sites", ASH | {"name": "Another"}).status_code == 409
    assert ash(with_ash) == before


def test_a_site_that_is_not_there_is_404(empty_api: Api) -> None:
    assert empty_api.get("/v1/sites/ash-01").status_code == 404
    assert patch(empty_api, {"name": "x"}).status_code == 404


BROKEN = [
    ({"school": "nobody"}, "/school", "no school nobody"),
    ({"longitude": None}, "", "latitude and longitude"),
    ({"latitude": None}, "", "latitude and longitude"),
    ({"latitude": 90.1}, "/latitude", "90"),
    ({"longitude": -181}, "/longitude", "-180"),
    ({"latitude": "40.9"}, "/latitude", "number"),
    ({"elevation_m": 10_000}, "/elevation_m", "6000"),
    ({"stream_km": -0.1}, "/stream_km", "0"),
    ({"public_decimals": 7}, "/public_decimals", "6"),
    ({"public_decimals": 2.5}, "/public_decimals", "whole number"),
    ({"water_class": "tepid"}, "/water_class", "cold|warm"),
    ({"time_zone": "Mars/Olympus"}, "/time_zone", "IANA"),
    ({"established_on": "2026-02-30"}, "/established_on", "day that exists"),
    ({"stream": "Ash Run"}, "/stream", "lower-case letters"),
    ({"watershed": {"scheme": "huc", "code": 2070010}}, "/watershed/code", "text"),
    ({"watershed": {"scheme": "huc"}}, "/watershed/code", "missing"),
    ({"watershed": {"scheme": "huc", "code": "020"}}, "/watershed", "even number"),
    ({"watershed": {"scheme": "huc", "code": "23"}}, "/watershed", "01 to 22"),
    ({"watershed": {"scheme": "huc", "code": "2.07001E+11"}}, "/watershed", "send it as text"),
    ({"watershed": {"scheme": "pfafstetter", "code": "0421"}}, "/watershed", "does not begin with 0"),
    ({"watershed": {"scheme": "river", "code": "1"}}, "/watershed", "huc, pfafstetter"),
    ({"owner": "x"}, "/owner", "not known here"),
]


def test_a_site_that_breaks_a_rule_is_told_where(heron: Api) -> None:
    assert misjudged(lambda change: heron.post("/v1/sites", ASH | change), BROKEN) == []
    assert heron.every("/v1/sites") == []


@pytest.mark.parametrize(
    ("written", "kept"),
    [
        (("huc", "2070010"), ("huc", "02070010")),
        (("huc", "0207-0010"), ("huc", "02070010")),
        (("huc", "20700100103.0"), ("huc", "020700100103")),
        (("pfafstetter", "7420"), ("pfafstetter", "7420")),
    ],
)
def test_a_watershed_is_kept_in_its_normal_form(heron: Api, written: tuple, kept: tuple) -> None:
    body = {"scheme": written[0], "code": written[1]}
    normal = {"scheme": kept[0], "code": kept[1]}
    assert heron.post("/v1/sites", ASH | {"watershed": body}).json()["watershed"] == normal
    assert patch(heron, {"watershed": None}).json()["watershed"] is None
    assert patch(heron, {"watershed": body}).json()["watershed"] == normal


@pytest.mark.parametrize(
    "change",
    [
        {"name": "Ash weir"},
        {"stream": None, "stream_km": None},
        {"latitude": None, "longitude": None},
        {"latitude": 41.5},
        {"watershed": None},
        {"watershed": {"scheme": "huc", "code": "0208"}},
        {"water_class": "warm", "elevation_m": None},
        {"established_on": None},
        {"time_zone": "UTC", "public_decimals": 0},
    ],
)
def test_a_patch_changes_what_it_names_and_nothing_else(with_ash: Api, change: dict) -> None:
    before = ash(with_ash)
    answer = patch(with_ash, change)
    assert (answer.status_code, answer.json()) == (200, before | change)
    assert ash(with_ash) == before | change


BROKEN_PATCHES = [
    ({}, "", "at least one field"),
    ({"name": None}, "", "name: may be changed but not emptied"),
    ({"time_zone": None}, "", "time_zone: may be changed but not emptied"),
    ({"public_decimals": None}, "", "public_decimals: may be changed but not emptied"),
    ({"latitude": None}, "/latitude", "latitude and longitude"),
    ({"longitude": None, "name": "Ash weir"}, "/latitude", "latitude and longitude"),
    ({"school": "otter"}, "/school", "not known here"),
    ({"code": "ash-02"}, "/code", "not known here"),
    *[row for row in BROKEN if row[0].keys() <= {"elevation_m", "watershed", "water_class"}],
]


def test_a_patch_that_breaks_a_rule_changes_nothing(with_ash: Api) -> None:
    before = ash(with_ash)
    assert misjudged(lambda change: patch(with_ash, change), BROKEN_PATCHES) == []
    assert ash(with_ash) == before


# Decimals, and the place they leave of 40.987654, -75.123456: plain rounding.
@pytest.mark.parametrize(
    ("decimals", "latitude", "longitude"),
    [(0, 41.0, -75.0), (1, 41.0, -75.1), (3, 40.988, -75.123), (6, 40.987654, -75.123456)],
)
def test_the_public_sees_the_place_rounded(
    beside_others: Api, decimals: int, latitude: float, longitude: float
) -> None:
    patch(beside_others, {"public_decimals": decimals})
    for key in (None, "reader", "otter"):
        seen = ash(beside_others, key)
        assert (seen["latitude"], seen["longitude"]) == (latitude, longitude)


def test_the_exact_place_is_for_its_own_school_and_the_coordinator(beside_others: Api) -> None:
    for key in ("heron", "coordinator"):
        seen = ash(beside_others, key)
        assert (seen["latitude"], seen["longitude"]) == (ASH["latitude"], ASH["longitude"])
        assert seen in beside_others.every("/v1/sites", key)
    for key in (None, "reader", "otter"):
        assert "40.9876" not in beside_others.get("/v1/sites", key).text


LISTED = {
    "": ["ash-01", "fern-01", "reed-01", "reed-02"],
    "watershed=0207": ["ash-01", "reed-01", "reed-02"],
    "watershed=207": ["ash-01", "reed-01", "reed-02"],
    "watershed=huc:020700100103": ["reed-01", "reed-02"],
    "watershed=0209": [],
    "watershed=pfafstetter:2": [],
    "stream=reed": ["reed-01", "reed-02"],
    "school=heron": ["ash-01", "reed-02"],
    "school=heron&stream=reed&watershed=02": ["reed-02"],
    "school=nobody": [],
}


def test_sites_are_listed_by_watershed_stream_and_school(beside_others: Api) -> None:
    found = {query: [row["code"] for row in beside_others.every(f"/v1/sites?{query}")] for query in LISTED}
    assert found == LISTED


def names(api: Api) -> dict[str, str | None]:
    return {row["code"]: row["name"] for row in api.every("/v1/watersheds")}


def test_a_watershed_gets_its_name_in_its_normal_form_and_keeps_it_when_a_site_comes(heron: Api) -> None:
    reed = {"scheme": "huc", "code": "2070010", "name": "Middle Reed River"}
    for _ in range(2):
        answer = heron.post("/v1/watersheds", reed)
        assert (answer.status_code, answer.json()) == (201, {"scheme": "huc", "code": "02070010"})
    heron.post("/v1/sites", ASH | {"watershed": {"scheme": "huc", "code": "02070010"}})
    assert names(heron)["02070010"] == "Middle Reed River"
    heron.post("/v1/watersheds", reed | {"name": "Reed River"})
    assert names(heron)["02070010"] == "Reed River"


def test_a_watershed_that_breaks_a_rule_is_told_where(empty_api: Api) -> None:
    broken = [
        ({"code": "020"}, "", "even number"),
        ({"name": ""}, "/name", "at least 1"),
        ({"scheme": "river"}, "", "huc, pfafstetter"),
    ]
    reed = {"scheme": "huc", "code": "0207", "name": "Reed"}
    assert misjudged(lambda change: empty_api.post("/v1/watersheds", reed | change), broken) == []
    assert names(empty_api) == {}
