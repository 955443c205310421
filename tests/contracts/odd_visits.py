"""Visits that are odd each in its own way, and what is done to them afterwards, all through the service."""

from collections.abc import Sequence
from datetime import date, timedelta

from tests.api import Api, Json, catch, reading, visit
from tests.visits.test_gauging import BOTTLES, FLOATS, VERTICALS

VISITS_OF_A_SITE = 25
FIRST_DAY = date(2023, 9, 4)
PLACE = {"scheme": "huc", "code": "020700100103"}
LEAP_DAY, FOLD = "2024-02-29", "2025-11-02T01:30:00"  # on this day America/New_York has 01:30 twice
STRIP = {"kit": "nitrate-strip", "kit_lot": "box-b"}
ODDITIES: Sequence[Json] = (
    {"readings": [reading("transparency", 60, "cm", censored=">", kit="transparency-tube-60")]},
    {"readings": [reading("nitrate", 1, "mg/L as NO3", censored="<", kit="nitrate-strip")]},
    {"readings": [reading("ph", None), reading("water_temperature", None, "degF")]},
    {
        "readings": [
            reading("ph", 7, replicate=1),
            reading("ph", 8, replicate=2),
            reading("ph", 7, replicate=3),
        ]
    },
    {"readings": [reading("ph", 15)], "notes": "Schüler schreiben: 水 🐟 ½ “ruhig”\n\tund 'so'; -- weiter"},
    {"readings": [], "catch": catch()},
    {
        "readings": [],
        "catch": {
            "count_scheme": "rcd-1-10-100",
            "counts": [{"taxon": "mayfly", "abundance": "R"}, {"taxon": "worm", "abundance": "D"}],
        },
    },
    {"readings": [], "catch": catch(("mayfly", 14, "nymph"), ("a thing with legs", 3), ("Käfer 🪲", 1))},
    {"kind": "field-blank", "readings": [reading("nitrate", 0, "mg/L as NO3", **STRIP)]},
    {"kind": "field-blank", "readings": [reading("nitrate", 20, "mg/L as NO3", **STRIP)]},
    {"kind": "field-replicate", "team": "period-9"},
    {"readings": [], "gauging": FLOATS},
    {"readings": [], "gauging": VERTICALS, "bottles": BOTTLES},
    {"place": {"latitude": 40.1234567, "longitude": -75.7654321}, "conditions": {"dead_fish": True}},
    {"conditions": {"air_temperature_c": -12.5, "ice": "edge", "flow": "low", "rain_48h_mm": 0.1}},
    {"readings": [reading("water_temperature", 44.6, "degF", procedure={"seconds_in_water": 120.5})]},
    {"observed_at": f"{LEAP_DAY}T10:15:00-05:00"},
    {"observed_at": f"{FOLD}-04:00"},
    {"observed_at": f"{FOLD}-05:00"},
)


def hand_in_odd_visits(api: Api, number: int) -> None:
    """Enter sites of a school, hand in visits there, and correct, withdraw, decide or acknowledge some."""
    school = {"code": "otter", "name": "Škola u potoka", "time_zone": "America/New_York"}
    _enter(api, "/v1/schools", school)
    _enter(api, "/v1/kit-lots", {"school": "otter", "code": "box-b", "kit": "nitrate-strip"})
    kit = {
        "code": "tabs", "name": "Tablets", "kind": "comparator", "parameter": "ph", "unit": "std units",
        "lower": 4, "upper": 9, "step": 1, "reads_zero": False, "tablets": 1, "sample_ml": 10,
    }  # fmt: skip
    _enter(api, "/v1/kits", kit)
    sites = -(-number // VISITS_OF_A_SITE)
    for nth in range(sites):
        site = {"code": f"odd-{nth}", "name": f"Zákruta {nth}", "school": "otter", "elevation_m": 120}
        _enter(api, "/v1/sites", site | ({"watershed": PLACE} if nth % 4 else {}))
    for nth in range(number):
        _live(api, nth, _body(nth, sites))


def _enter(api: Api, address: str, body: Json) -> None:
    answer = api.call("POST", address, "coordinator", json=body, headers={"Idempotency-Key": body["code"]})
    assert answer.status_code == 201, answer.text


def _body(nth: int, sites: int) -> Json:
    """Return the body of a visit; every other one is usual, so that a site has a past to compare with."""
    day = FIRST_DAY + timedelta(days=nth // sites * 3)
    warm = reading("water_temperature", 12.5 + nth % 4 / 2, "degC", kit="thermometer-alcohol")
    usual = visit(f"odd-{nth % sites}", f"{day}T10:{nth % 60:02}:00-05:00", team=f"t-{nth}", readings=[warm])
    turn, is_odd = divmod(nth + nth // sites, 2)
    return usual | (ODDITIES[turn % len(ODDITIES)] if is_odd else {})


def _live(api: Api, nth: int, body: Json) -> None:
    stored = api.post("/v1/visits", body)
    assert stored.status_code == 201, stored.text
    address = f"/v1/visits/{stored.json()['visit_id']}"
    done = [stored]
    if nth % 7 == 3:
        seen = {"If-Match": stored.headers["etag"]}
        done.append(
            api.call("PUT", address, "coordinator", json=body | {"notes": "read again"}, headers=seen)
        )
    if nth % 9 == 4:
        action = "release" if stored.json()["state"] == "held" else "reject"
        done.append(api.post(f"{address}/decisions", {"action": action, "reason": "viděno u potoka"}))
    if nth % 11 == 5:
        done.append(api.call("DELETE", address, "coordinator"))
    if stored.json()["alerts"] and nth % 40 < 20:
        alert = stored.json()["alerts"][0]["alert"]
        done.append(api.post(f"/v1/alerts/{address.rpartition('/')[2]}/{alert}/acknowledge", None))
    assert all(answer.is_success for answer in done), [answer.text for answer in done]
