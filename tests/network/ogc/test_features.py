"""Features as map programs take them; each test stands for something that one of them stumbled over."""

import re

import pytest

from tests.api import Api
from tests.network.ogc.map_network import HIDDEN, ISLAND, NAMES, fill, items, link_of, walk


@pytest.fixture
def filled(api: Api) -> Api:
    return api.once(fill)


@pytest.mark.parametrize("name", NAMES)
def test_what_has_no_place_comes_last_so_that_a_map_finds_places_on_its_first_page(
    filled: Api, name: str
) -> None:
    placed = [feature["geometry"] is not None for feature in walk(filled, f"{items(name)}?limit=2")]
    assert {True, False} == set(placed)
    assert placed == sorted(placed, reverse=True)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("limit", [1, 3, 7])
def test_pages_of_any_size_give_each_feature_once_in_the_same_order(
    filled: Api, name: str, limit: int
) -> None:
    whole = filled.get(f"{items(name)}?limit=1000").json()
    assert link_of(whole, "next") is None
    assert walk(filled, f"{items(name)}?limit={limit}") == whole["features"]
    ids = [feature["id"] for feature in whole["features"]]
    assert len(set(ids)) == len(ids) == whole["numberMatched"] > 3


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("query", ["site=reed-01", "stream=reed", "bbox=-76,40,-75,41", f"site={HIDDEN}"])
def test_the_number_matched_is_that_of_the_walk_and_filters_stay_in_the_links(
    filled: Api, name: str, query: str
) -> None:
    first = filled.get(f"{items(name)}?{query}&f=json&limit=1").json()
    assert first["numberMatched"] == len(walk(filled, f"{items(name)}?{query}&f=json&limit=3")) >= 1
    following = link_of(first, "next")
    if following:
        assert following.startswith("http://testserver/ogc/")
        assert {"f=json", "limit=1", query.replace(",", "%2C")} <= set(following.partition("?")[2].split("&"))
        assert "numberMatched" not in filled.get(following).json()


@pytest.mark.parametrize("name", NAMES)
def test_a_limit_beyond_the_maximum_is_no_error(filled: Api, name: str) -> None:
    assert filled.get(f"{items(name)}?limit=10000000").status_code == 200


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("offset", [0, 1, 2, 11, 10_000_000])
def test_an_offset_leaves_out_as_many_features_also_across_those_without_a_place(
    filled: Api, name: str, offset: int
) -> None:
    everything = walk(filled, items(name))
    for skipped in (offset, len(everything) - 1):
        assert walk(filled, f"{items(name)}?f=json&limit=2&offset={skipped}") == everything[skipped:]


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize(
    "query",
    ["limit=0", "limit=abc", "bbox=1,2,3", "datetime=yesterday", "datetime=../..", "offset=-1", "f=html",
     "crs=http://www.opengis.net/def/crs/OGC/1.3/CRS84", "limit=1&limit=2", "cursor=WyIwIl0",
     "cursor=WyI3IiwiYSJd", "watershed=x"],
)  # fmt: skip
def test_a_parameter_that_is_unknown_or_unreadable_is_a_400_that_reads_alone(
    filled: Api, name: str, query: str
) -> None:
    answer = filled.get(f"{items(name)}?{query}")
    problem = answer.json()
    assert (answer.status_code, answer.headers["content-type"]) == (400, "application/problem+json")
    # OGC 17-069r4, schema exception.yaml: code is required, description is for people.
    assert (problem["code"], problem["description"]) == ("BadRequest", problem["detail"])
    assert query.partition("=")[0] in problem["detail"]


@pytest.mark.parametrize("name", NAMES)
def test_numbers_are_floats_and_every_key_is_in_every_feature(filled: Api, name: str) -> None:
    features = walk(filled, items(name))
    assert len({tuple(feature["properties"]) for feature in features}) == 1
    measured = {"value", "low", "high", "stream_km", "elevation_m"}
    kinds = {type(value) for one in features for key, value in one["properties"].items() if key in measured}
    assert kinds <= {float, type(None)}
    assert not re.search(r'"(value|stream_km)":-?\d+[,}]', filled.get(items(name)).text)


@pytest.mark.parametrize("name", ["readings", "scores"])
def test_a_value_is_never_null_as_a_column_of_nulls_would_become_text(filled: Api, name: str) -> None:
    assert all(one["properties"]["value"] is not None for one in walk(filled, items(name)))


def test_places_are_those_that_the_public_sees_whoever_asks(filled: Api) -> None:
    for key in (None, "heron", "coordinator"):
        features = filled.get(items("sites"), key).json()["features"]
        shown = {one["id"]: one["geometry"] and one["geometry"]["coordinates"] for one in features}
        assert shown["reed-02"] == [-75.654, 40.123]
        assert shown[ISLAND] == [180.0, -17.0]
        assert shown[HIDDEN] is None


@pytest.mark.parametrize(
    ("box", "sites"),
    [
        ("-75.655,40.122,-75.653,40.124", {"reed-01", "reed-02", "fern-01"}),
        ("-75.655,40.122,-100,-75.653,40.124,9000", {"reed-01", "reed-02", "fern-01"}),
        ("-75.654321,40.123456,-75.654321,40.123456", set()),  # where it lies, which nobody is to find out
        ("-75.654,40.123,-75.654,40.123", {"reed-01", "reed-02", "fern-01"}),  # where it is shown
        ("179,-20,-179,-16", {ISLAND}),
        ("179,-20,181,-16", {ISLAND}),
        ("-179,-20,179,-16", set()),
    ],
)
def test_a_box_keeps_what_is_shown_in_it_and_what_has_no_place(
    filled: Api, box: str, sites: set[str]
) -> None:
    # OGC 17-069r4, requirement fc-bbox-response C: features without geometry match every box.
    assert {one["id"] for one in walk(filled, f"{items('sites')}?bbox={box}")} == sites | {HIDDEN}
    visited = {"reed-01", "reed-02"} & sites
    kept = {one["properties"]["site"] for one in walk(filled, f"{items('readings')}?bbox={box}")}
    assert kept == visited | {HIDDEN}


@pytest.mark.parametrize(
    ("span", "days"),
    [
        ("2026-03-11T23:00:00Z", {"2026-03-11"}),
        ("2026-03-11", {"2026-03-11"}),
        ("2026-03-11T00:00:00Z/2026-03-12T00:00:00Z", {"2026-03-11", "2026-03-12"}),
        ("2026-03-13T00:00:00Z/..", {"2026-03-20"}),
        ("../2026-03-10T00:00:00Z", {"2026-03-10"}),
        ("2999-01-01T00:00:00Z/", set()),
    ],
)
def test_an_interval_keeps_the_visits_of_its_days(filled: Api, span: str, days: set[str]) -> None:
    found = walk(filled, f"{items('readings')}?datetime={span}")
    assert {one["properties"]["observed_on"] for one in found} == days


def test_a_site_is_there_from_its_first_visit_to_its_last_and_one_without_visits_at_any_time(
    filled: Api,
) -> None:
    # OGC 17-069r4, requirement fc-time-response C: features without a time match every time.
    never = {"fern-01", ISLAND}
    for span, visited in (
        ("2026-03-15", {"reed-01"}),
        ("2026-03-10/2026-03-11", {HIDDEN, "reed-02"}),
        ("2999-01-01/..", set()),
        ("../1999-01-01", set()),
    ):
        found = walk(filled, f"{items('sites')}?datetime={span}")
        assert {one["id"] for one in found} == never | visited, span


def test_only_released_visits_are_shown_and_only_their_date(filled: Api) -> None:
    readings = filled.get(f"{items('readings')}?limit=1000", "coordinator")
    assert "2026-03-21" not in readings.text
    assert not re.search(r"T\d\d:\d\d", readings.text)


@pytest.mark.parametrize(
    ("name", "query", "key", "value"),
    [
        ("readings", "parameter=ph", "parameter", "ph"),
        ("readings", "flag=1", "flag", 1),
        ("scores", "index=aspt", "index", "aspt"),
        ("scores", "band=good", "band", "good"),
        ("sites", "school=otter", "school", "otter"),
        ("scores", "watershed=020700100103", "watershed_code", "020700100103"),
    ],
)
def test_a_named_filter_keeps_what_it_says(
    filled: Api, name: str, query: str, key: str, value: object
) -> None:
    rest = [one for one in walk(filled, items(name)) if one["properties"][key] == value]
    assert walk(filled, f"{items(name)}?{query}") == rest


@pytest.mark.parametrize("name", NAMES)
def test_a_feature_alone_is_that_of_the_page_with_links_to_itself_and_its_collection(
    filled: Api, name: str
) -> None:
    for feature in filled.get(f"{items(name)}?limit=3").json()["features"]:
        answer = filled.get(f"{items(name)}/{feature['id']}")
        assert answer.headers["content-type"] == "application/geo+json"
        alone = answer.json()
        assert link_of(alone, "self") == f"http://testserver{items(name)}/{feature['id']}"
        assert link_of(alone, "collection") == f"http://testserver/ogc/collections/{name}"
        del alone["links"]
        assert alone == feature


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize(
    "feature",
    ["no-such", "x.0", "019c2f4e-6f0e-7c3a-9b1e-2f6f0c1a7d11.0", "019c2f4e-6f0e-7c3a-9b1e-2f6f0c1a7d11",
     "019c2f4e-6f0e-7c3a-9b1e-2f6f0c1a7d11.99999999", "019c2f4e-6f0e-7c3a-9b1e-2f6f0c1a7d11.-1"],
)  # fmt: skip
def test_a_feature_that_is_not_there_is_a_404(filled: Api, name: str, feature: str) -> None:
    answer = filled.get(f"{items(name)}/{feature}")
    assert (answer.status_code, answer.json()["code"]) == (404, "NotFound")


@pytest.mark.parametrize("name", NAMES)
def test_a_network_without_anything_answers_an_empty_page(empty_api: Api, name: str) -> None:
    page = empty_api.get(f"{items(name)}?bbox=-180,-90,180,90&offset=3").json()
    assert (page["features"], page["numberMatched"], page["numberReturned"]) == ([], 0, 0)
