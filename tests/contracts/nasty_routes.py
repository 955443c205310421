"""For each address that takes a JSON body: bodies that are right, and where what was stored is read back.

A new address needs an entry in `ROUTES`. Its bodies together must hold, filled, every object and list of the
body's schema, since a value is tried in each field of a body in which that field has its place.
"""

import uuid
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from tests.api import Api, Json, catch, reading, visit
from tests.contracts.nasty_sheets import SHEETS
from tests.network.reference_network import define, index_body, submit_reference

VISIT = "/v1/visits/{visit_id}"
HELD_VISITS = 40


@dataclass(frozen=True, slots=True)
class Route:
    """One address.

    ``bodies`` takes a number that is new for each request, ``address`` one that is new for each request that
    is stored, below `HELD_VISITS`.
    """

    bodies: Callable[[int], Sequence[Json]]
    address: Callable[[int], str]
    read: Callable[[Api, Json, str], Any]  # the answer and the address give what is stored, as a body
    headers: tuple[tuple[str, str], ...] = ()


def at(address: str) -> Callable[[int], str]:
    return lambda number: address


def one(address: str, name: str = "code") -> Callable[[Api, Json, str], Any]:
    """Return what reads a thing at an address of its own."""
    return lambda api, answer, asked: api.get(f"{address}/{answer[name]}", "coordinator").json()


def patched(api: Api, answer: Json, asked: str) -> Any:
    return api.get(asked, "coordinator").json()


def listed(address: str, *names: str) -> Callable[[Api, Json, str], Any]:
    """Return what finds a thing in its list."""

    def read(api: Api, answer: Json, asked: str) -> Any:
        rows = api.every(f"{address}?limit=1000", "coordinator")
        (row,) = [row for row in rows if all(row[name] == answer[name] for name in names)]
        return row

    return read


def handed_in(api: Api, answer: Json, asked: str) -> Any:
    revisions = api.get(f"/v1/visits/{answer['visit_id']}/revisions", "coordinator").json()
    return revisions["items"][-1]["handed_in"]


def decided(api: Api, answer: Json, asked: str) -> Any:
    row = api.get(asked, "coordinator").json()["items"][-1]
    return row | {"revision": 1}


def as_index_body(api: Api, answer: Json, asked: str) -> Any:
    shown = api.get(f"/v1/indices/{answer['code']}?number={answer['number']}", "coordinator").json()
    metrics = [row | {"worst_value": row["worst"]} for row in shown["metrics"]]
    return shown | {"metrics": metrics, "reference_sites": [row["site"] for row in shown["reference_sites"]]}


def watershed_named(api: Api, answer: Json, asked: str) -> Any:
    rows = api.get(f"/v1/watersheds?watershed={answer['scheme']}:{answer['code']}", "coordinator").json()
    (row,) = [row for row in rows["items"] if row["code"] == answer["code"]]
    return row


def mapping_kept(api: Api, answer: Json, asked: str) -> Any:
    return api.get(asked, "coordinator").json()["mapping"]


PROCEDURE = {
    "seconds_in_water": 60, "minutes_waited": 5, "bubble_free": True, "undisturbed_water": True, "tablets": 1,
    "sample_ml": 10,
}  # fmt: skip
CONDITIONS = {
    "air_temperature_c": 12, "weather": "clear", "rain_48h_mm": 3, "flow": "normal", "ice": "none",
    "dead_fish": False,
}  # fmt: skip
FLOATS = {
    "method": "float", "length_m": 10, "times_s": [20, 21, 22], "bottom": "rocky",
    "transects": [{"width_m": 2, "depths_m": [0.2, 0.3, 0.2]}],
}  # fmt: skip
VERTICALS = {
    "method": "mid-section",
    "verticals": [
        {"distance_m": metres, "depth_m": 0.2, "velocity_m_per_s": 0.3} for metres in (0.5, 1.0, 1.5)
    ],
}
BOTTLES = {
    "first_mg_per_l": 9, "last_mg_per_l": 6, "hours": 120, "temperature_c": 20, "sample_share": 0.5,
}  # fmt: skip
ANIMALS = {
    "gear": "kick-seine", "minutes": 3, "area_m2": 1, "jabs": 3, "mesh_um": 500, "sorted_share": 1,
    "counted_only": ["mayfly"],
}  # fmt: skip


def visits(number: int) -> list[Json]:
    whole = visit(
        observed_at=f"{2000 + number // 300 % 25}-{number // 25 % 12 + 1:02}-{number % 25 + 1:02}T10:15:00Z",
        kind="routine",
        team=f"team-{number}",
        place={"latitude": 40.1234, "longitude": -75.6543},
        conditions=CONDITIONS,
        readings=[
            reading("ph", 7, "std units", kit="ph-meter", kit_lot="box-a", replicate=1, procedure=PROCEDURE)
            | {"censored": None}
        ],
        catch=catch(("mayfly", 3, "larva"), **ANIMALS),
        gauging=FLOATS,
        bottles=BOTTLES,
        notes="muddy bank",
    )
    letters = {"count_scheme": "rcd-1-10-100", "counts": [{"taxon": "mayfly", "abundance": "C"}]}
    return [whole, whole | {"gauging": VERTICALS, "catch": letters}]


def held_visit(number: int) -> str:
    """Return the address of one of those that wait to be corrected and decided, each once."""
    return f"/v1/visits/{uuid.UUID(int=0xDEC1DE + number)}"


HUC = {"scheme": "huc", "code": "020700100103"}
SITE = {
    "name": "Ash", "school": "heron", "stream": "reed", "stream_km": 4.6, "latitude": 40.1,
    "longitude": -75.2, "public_decimals": 3, "elevation_m": 120, "watershed": HUC, "water_class": "cold",
    "time_zone": "UTC", "established_on": "2020-01-01",
}  # fmt: skip
PLACE_ALONE = {"latitude": 40.1, "longitude": -75.2, "watershed": HUC}
CARD = {
    "name": "Card", "kind": "strip", "parameter": "ph", "unit": "std units", "lower": 4, "upper": 9,
    "accuracy": 0.5, "reads_zero": False, "wait_minutes_min": 1, "wait_minutes_max": 2, "tablets": 1,
    "sample_ml": 10,
}  # fmt: skip
CRITERION = {
    "name": "Our pH", "parameter": "ph", "unit": "std units", "at_least": 6, "at_most": 9,
    "water_class": "cold", "watershed": HUC, "applies_from": "2026-01-01", "applies_until": "2030-01-01",
    "source": "a rule",
}  # fmt: skip
METRICS = [
    metric | {"worst_value": worst} for metric, worst in zip(index_body()["metrics"], (0, 0, 10), strict=True)
]

ROUTES: dict[tuple[str, str], Route] = {
    ("POST", "/v1/visits"): Route(visits, at("/v1/visits"), handed_in),
    ("PUT", VISIT): Route(visits, held_visit, handed_in, (("If-Match", "*"),)),
    ("POST", f"{VISIT}/decisions"): Route(
        lambda number: [
            {"action": "set-flag", "reading": 0, "flag": 3, "revision": 1, "reason": "seen at the creek"},
            {"action": "release", "reason": "seen at the creek"},
        ],
        lambda number: f"{held_visit(number)}/decisions",
        decided,
    ),
    ("POST", "/v1/schools"): Route(
        lambda number: [
            {
                "code": f"s{number}",
                "name": "Ibis",
                "time_zone": "UTC",
                "contact_email": "office@ibis.example",
            }
        ],
        at("/v1/schools"),
        one("/v1/schools"),
    ),
    ("PATCH", "/v1/schools/{code}"): Route(
        lambda number: [{"name": "Ibis"}], at("/v1/schools/otter"), patched
    ),
    ("DELETE", "/v1/schools/{code}/private"): Route(
        lambda number: [{"confirm": "otter"}],
        at("/v1/schools/otter/private"),
        lambda api, answer, asked: {"confirm": answer["school"]},
    ),
    ("POST", "/v1/sites"): Route(
        lambda number: [SITE | {"code": f"ash-{number}"}], at("/v1/sites"), one("/v1/sites")
    ),
    ("PATCH", "/v1/sites/{code}"): Route(lambda number: [PLACE_ALONE], at("/v1/sites/fern-01"), patched),
    ("POST", "/v1/watersheds"): Route(
        lambda number: [{"scheme": "huc", "code": f"0207{number % 90 + 10}", "name": "Reed River"}],
        at("/v1/watersheds"),
        watershed_named,
    ),
    ("POST", "/v1/kits"): Route(
        lambda number: [
            CARD | {"code": f"card-{number}", "marks": [4, 5, 6, 7, 8, 9]},
            CARD | {"code": f"card-{number}", "step": 0.5},
        ],
        at("/v1/kits"),
        listed("/v1/kits", "code"),
    ),
    ("POST", "/v1/kit-lots"): Route(
        lambda number: [
            {"school": "heron", "code": f"b{number}", "kit": "ph-meter", "expires_on": "2030-01-01"}
        ],
        at("/v1/kit-lots"),
        listed("/v1/kit-lots", "school", "code"),
    ),
    ("POST", "/v1/criteria"): Route(
        lambda number: [CRITERION | {"code": f"our-{number}"}], at("/v1/criteria"), one("/v1/criteria")
    ),
    ("PATCH", "/v1/criteria/{code}"): Route(
        lambda number: [{"name": "Our pH"}], at("/v1/criteria/our-ph"), patched
    ),
    ("POST", "/v1/indices"): Route(
        lambda number: [index_body(code=f"index-{number}", gear="kick-seine", metrics=METRICS)],
        at("/v1/indices"),
        as_index_body,
    ),
    ("PUT", "/v1/schools/{school}/mappings/{code}"): Route(
        lambda number: SHEETS, lambda number: f"/v1/schools/heron/mappings/sheet-{number}", mapping_kept
    ),
    ("POST", "/v1/keys"): Route(
        lambda number: [{"role": "reader", "school": None, "label": "wall", "expires_on": "2030-01-01"}],
        at("/v1/keys"),
        listed("/v1/keys", "id"),
    ),
}


def enter(api: Api) -> None:
    """Enter what the bodies rest on."""
    submit_reference(api, gear="kick-seine")
    define(api, gear="kick-seine")
    for address, body in (
        ("/v1/kit-lots", {"school": "heron", "code": "box-a", "kit": "ph-meter"}),
        ("/v1/criteria", CRITERION | {"code": "our-ph"}),
    ):
        assert api.post(address, body).status_code == 201
    for number in range(HELD_VISITS):
        api.submit(visit(visit_id=held_visit(number).rpartition("/")[2], readings=[reading("ph", 15)]))
