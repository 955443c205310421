"""The documents around the features: what map programs read before they ask for any."""

from typing import Any

import pytest

from tests.api import Api
from tests.network.ogc.map_network import NAMES, fill, items, link_of

DOCUMENTS = ("/ogc", "/ogc/", "/ogc/conformance", "/ogc/collections", "/ogc/collections/sites")


@pytest.mark.parametrize("address", DOCUMENTS)
@pytest.mark.parametrize("accepted", ["*/*", "text/html", "application/geo+json, application/json", None])
def test_whatever_is_accepted_the_answer_is_json_and_no_redirect(
    api: Api, address: str, accepted: str | None
) -> None:
    headers = {} if accepted is None else {"Accept": accepted}
    answer = api.call("GET", address, headers=headers, follow_redirects=False)
    assert (answer.status_code, answer.headers["content-type"]) == (200, "application/json")


@pytest.mark.parametrize("address", DOCUMENTS)
def test_f_json_is_known_everywhere_and_anything_else_is_a_400(api: Api, address: str) -> None:
    assert api.get(f"{address}?f=json").status_code == 200
    assert api.get(f"{address}?f=html").status_code == 400
    assert api.get(f"{address}?colour=blue").status_code == 400


def test_the_landing_page_leads_to_everything_by_absolute_links_with_their_type(api: Api) -> None:
    page = api.get("/ogc/").json()
    for rel in ("self", "service-desc", "service-doc", "conformance", "data"):
        link = next(link for link in page["links"] if link["rel"] == rel)
        assert link["href"].startswith("http://testserver/")
        answer = api.get(link["href"])
        assert answer.status_code == 200, rel
        assert answer.headers["content-type"].partition(";")[0] == link["type"], rel


def test_nothing_is_claimed_but_core_and_geojson(api: Api) -> None:
    # OGC 17-069r4, table of conformance classes. A reader asks for all that it finds here.
    stem = "http://www.opengis.net/spec/ogcapi-features-1/1.0/conf/"
    assert api.get("/ogc/conformance").json() == {"conformsTo": [f"{stem}core", f"{stem}geojson"]}


def test_each_collection_says_where_its_items_its_schema_and_its_licence_are(api: Api) -> None:
    listed = api.get("/ogc/collections").json()
    assert link_of(listed, "self") == "http://testserver/ogc/collections"
    assert [one["id"] for one in listed["collections"]] == list(NAMES)
    for one in listed["collections"]:
        assert api.get(f"/ogc/collections/{one['id']}").json() == one
        assert one["itemType"] == "feature"
        assert one["attribution"]
        kinds = {link["rel"]: link["type"] for link in one["links"]}
        assert kinds["items"] == "application/geo+json"
        assert kinds["describedby"] == kinds["describedBy"] == "application/schema+json"
        assert all(link["type"] and link["title"] for link in one["links"])
        assert link_of(one, "license").startswith("https://")
        assert api.get(link_of(one, "items")).headers["content-type"] == "application/geo+json"
        assert api.get(link_of(one, "enclosure")).status_code == 200


def test_an_unknown_collection_is_a_404(api: Api) -> None:
    for address in ("/ogc/collections/fish", "/ogc/collections/fish/items", "/ogc/collections/fish/schema",
                    "/ogc/collections/fish/feature-schema"):  # fmt: skip
        answer = api.get(address)
        assert (answer.status_code, answer.headers["content-type"]) == (404, "application/problem+json")


def test_the_extent_holds_every_feature_and_is_left_out_where_there_is_none(api: Api) -> None:
    assert "temporal" not in api.get("/ogc/collections/readings").json()["extent"]
    fill(api)
    for name in NAMES:
        extent = api.get(f"/ogc/collections/{name}").json()["extent"]
        ((west, south, east, north),) = extent["spatial"]["bbox"]
        ((first, last),) = extent["temporal"]["interval"]
        features = api.get(f"{items(name)}?limit=1000").json()["features"]
        for feature in features:
            if feature["geometry"]:
                degrees_east, degrees_north = feature["geometry"]["coordinates"]
                assert west <= degrees_east <= east
                assert south <= degrees_north <= north
            if name != "sites":
                assert first <= feature["properties"]["observed_on"] + "T12:00:00Z" <= last
        boxed = f"{items(name)}?limit=1000&bbox={west},{south},{east},{north}&datetime={first}/{last}"
        assert api.get(boxed).json()["features"] == features


def test_the_extent_of_a_network_without_a_place_is_empty(empty_api: Api) -> None:
    assert empty_api.get("/ogc/collections/sites").json()["extent"] == {}


@pytest.mark.parametrize("name", NAMES)
def test_the_schema_gives_each_property_one_plain_type(api: Api, name: str) -> None:
    # A reader that meets ["number", "null"] or anyOf takes every column for text.
    fill(api)
    answer = api.get(link_of(api.get(f"/ogc/collections/{name}").json(), "describedby"))
    assert answer.headers["content-type"] == "application/schema+json"
    properties: dict[str, Any] = answer.json()["properties"]["properties"]["properties"]
    assert {type(one["type"]) for one in properties.values()} == {str}
    assert all(one["description"].endswith(".") for one in properties.values())
    python = {"number": float, "integer": int, "string": str}
    for feature in api.get(items(name)).json()["features"]:
        assert list(feature["properties"]) == list(properties)
        for key, value in feature["properties"].items():
            assert value is None or type(value) is python[properties[key]["type"]], key


@pytest.mark.parametrize("name", NAMES)
def test_the_flat_schema_has_the_same_properties_and_says_what_is_place_and_time(api: Api, name: str) -> None:
    # OGC 23-058: relation of the link; roles id, primary-geometry, primary-instant (from memory).
    collection = api.get(f"/ogc/collections/{name}").json()
    flat = api.get(link_of(collection, "http://www.opengis.net/def/rel/ogc/1.0/schema")).json()
    whole = api.get(link_of(collection, "describedby")).json()
    assert flat["$id"].endswith(f"/ogc/collections/{name}/schema")
    properties = dict(flat["properties"])
    roles = {key: one["x-ogc-role"] for key, one in properties.items() if "x-ogc-role" in one}
    assert (roles.pop("id"), roles.pop("geometry")) == ("id", "primary-geometry")
    interval = {"first_visit_on": "primary-interval-start", "last_visit_on": "primary-interval-end"}
    assert roles == (interval if name == "sites" else {"observed_on": "primary-instant"})
    told = list(whole["properties"]["properties"]["properties"])
    assert [key for key in properties if key not in ("id", "geometry")] == told
    assert properties["stream_km"]["x-ogc-unit"] == "km"
    assert [one["x-ogc-propertySeq"] for one in properties.values()] == list(range(1, len(properties) + 1))


def test_an_answer_that_a_reader_already_has_is_not_sent_again(api: Api) -> None:
    tag = api.get(items("sites")).headers["etag"]
    again = api.call("GET", items("sites"), headers={"If-None-Match": tag})
    assert again.status_code == 304
    fill(api)
    assert api.call("GET", items("sites"), headers={"If-None-Match": tag}).status_code == 200


def test_head_is_answered_wherever_get_is(api: Api) -> None:
    assert {api.call("HEAD", address).status_code for address in (*DOCUMENTS, *map(items, NAMES))} == {200}
