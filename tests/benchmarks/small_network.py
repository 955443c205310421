"""A small invented network behind a running service: schools, neighbouring sites, weekly visits, a client."""

import json
import math
from datetime import UTC, date, datetime, time, timedelta
from http.client import HTTPConnection
from typing import Any
from uuid import uuid4

from sqlmodel import Session

from service.core.database import make_engine
from service.schools.keep_key import create_key
from service.schools.tables import Role
from tests.benchmarks.servers import HOST

Json = dict[str, Any]
SCHOOL = "heron"
WATERSHED = "020700100103"
COUNTS = {
    "golden stonefly": 8,
    "flathead mayfly": 23,
    "minnow mayfly": 17,
    "net spinner": 16,
    "water penny": 9,
    "midge": 14,
    "Gammaridae": 12,
    "worm": 3,
}


class Client:
    """One connection that stays open, with the coordinator's key."""

    def __init__(self, port: int, key: str | None = None) -> None:
        self.connection = HTTPConnection(HOST, port, timeout=60)
        self.headers = {"Content-Type": "application/json"}
        if key is not None:
            self.headers["Authorization"] = f"Bearer {key}"

    def reopen(self) -> None:
        """Open the connection anew: a server hangs up on one that was silent for some seconds."""
        self.connection.close()
        self.connection.connect()

    def post(self, address: str, body: bytes, wanted: int = 201) -> Json:
        """Send a body and return the answer, which must have the wanted status."""
        self.connection.request("POST", address, body, self.headers)
        answer = self.connection.getresponse()
        said = answer.read()
        if answer.status != wanted:
            raise RuntimeError(f"POST {address}: {answer.status} {said.decode()}")
        return dict(json.loads(said))


def coordinator_key(database_url: str) -> str:
    """Make a key as `wadebook key create` does."""
    engine = make_engine(database_url)
    with Session(engine) as session:
        _, key = create_key(session, Role.COORDINATOR, None, "benchmark")
        session.commit()
    engine.dispose()
    return key


def enter_sites(client: Client, sites: list[str]) -> None:
    """Enter a school and its sites, all in one watershed."""
    school = {"code": SCHOOL, "name": "Heron School", "time_zone": "America/New_York"}
    client.post("/v1/schools", json.dumps(school).encode())
    for code in sites:
        site = {
            "code": code,
            "name": code,
            "school": SCHOOL,
            "stream": "reed",
            "latitude": 40.1,
            "longitude": -75.6,
            "elevation_m": 120,
            "watershed": {"scheme": "huc", "code": WATERSHED},
        }
        client.post("/v1/sites", json.dumps(site).encode())


def enter_past(client: Client, site: str, weeks: int) -> None:
    """Hand in a visit a week, up to last week's."""
    for week in range(weeks, 0, -1):
        client.post("/v1/visits", visit_body(site, day(week), week))


def day(weeks_ago: int) -> date:
    """Return a date some weeks before yesterday."""
    return datetime.now(UTC).date() - timedelta(days=1 + 7 * weeks_ago)


def visit_body(site: str, on: date, number: int, minute: int = 0) -> bytes:
    """Return a visit of five readings and a catch; ``number`` moves the readings a little, as water does."""
    season = math.cos(2 * math.pi * (on.timetuple().tm_yday - 200) / 365)
    water_c = max(round(2 * (11 + 9 * season + number % 5 - 2)) / 2, 0.5)
    saturated = 14.6 - 0.4 * water_c + 0.006 * water_c**2  # mg/L, near enough for an ordinary reading
    at = datetime.combine(on, time(15, minute), UTC)
    rows: tuple[tuple[str, float, str | None, str, Json], ...] = (
        ("water_temperature", water_c, "degC", "thermometer-alcohol", {"seconds_in_water": 90}),
        ("ph", 7.0 + number % 3 / 2, None, "ph-comparator-wide", {}),
        ("dissolved_oxygen", round(saturated * 4.5) / 5, "mg/L", "oxygen-titrator", {"bubble_free": True}),
        ("transparency", 62 + number * 7 % 9, "cm", "transparency-tube-120", {"undisturbed_water": True}),
        ("nitrate", (0.5, 1)[number % 2], "mg/L as N", "nitrate-zinc-comparator", {}),
    )
    body: Json = {
        "visit_id": str(uuid4()),
        "site": site,
        "observed_at": at.isoformat(),
        "team": "period-3",
        "conditions": {"air_temperature_c": water_c + 2, "weather": "overcast", "rain_48h_mm": 0.0},
        "readings": [
            {"parameter": parameter, "value": value, "kit": kit, "procedure": procedure}
            | ({"unit": unit} if unit else {})
            for parameter, value, unit, kit, procedure in rows
        ],
        "catch": {
            "gear": "kick-seine",
            "minutes": 20,
            "area_m2": 1.0,
            "count_scheme": "counts",
            "counts": [
                {"taxon": taxon, "count": count + (number + place) % 7}
                for place, (taxon, count) in enumerate(COUNTS.items())
            ],
        },
        "notes": "the usual place",
    }
    return json.dumps(body).encode()
