"""A network that has what maps stumble over: a site without a place that comes first, whole numbers first."""

from typing import Any

from tests.api import Api, Json, catch, reading, visit

NAMES = ("sites", "readings", "scores")
HIDDEN = "aaa-01"  # first by code, and visited first
ISLAND = "isle-01"  # beyond the antimeridian from its neighbour on the map


def items(collection: str) -> str:
    return f"/ogc/collections/{collection}/items"


def fill(api: Api) -> None:
    """Visit three sites, one of them without a place, and keep one that was never visited."""
    site = {"name": "Site", "school": "heron", "stream": "reed"}
    assert api.post("/v1/sites", site | {"code": HIDDEN}).status_code == 201
    island = {"code": ISLAND, "latitude": -17.0, "longitude": 179.99951, "public_decimals": 2}
    assert api.post("/v1/sites", site | island).status_code == 201
    animals = catch(("Heptageniidae", 60), ("Chironomidae", 50))
    for day, (where, key) in enumerate(((HIDDEN, "heron"), ("reed-02", "heron"), ("reed-01", "otter"))):
        for hour in range(9, 13):
            when = f"2026-03-{10 + day}T{hour:02}:00:00-05:00"
            api.submit(visit(where, when, catch=animals, team=f"period-{hour}"), key)
    fine = [reading("ph", 7.4, kit="ph-meter")]  # the first number that is not whole
    api.submit(visit("reed-01", "2026-03-20T09:00:00-05:00", readings=fine), "otter")
    api.submit(visit("reed-01", "2026-03-21T09:00:00-05:00", readings=[reading("ph", 15)]), "otter")  # held


def walk(api: Api, address: str) -> list[Json]:
    """Follow the links to the next page as they are given."""
    features, url = [], address
    while url:
        answer = api.get(url)
        assert answer.status_code == 200, answer.text
        page = answer.json()
        assert page["numberReturned"] == len(page["features"])
        features += page["features"]
        assert len(features) < 1000, "the links to the next page never end"
        url = link_of(page, "next")
    return features


def link_of(document: Json, rel: str) -> Any:
    return next((link["href"] for link in document["links"] if link["rel"] == rel), None)
