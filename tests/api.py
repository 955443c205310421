"""The service under test, spoken to over HTTP: keys, a small network, and visits to hand in."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import pytest
from fastapi.testclient import TestClient
from sqlalchemy import Engine, Table
from sqlmodel import Session

from service.app import create_app
from service.core.settings import Settings
from service.schools.keep_key import create_key
from service.schools.tables import Role
from tests.databases import Kept, TableContent, read_content, restore_content, spare_the_disk

Json = dict[str, Any]
MARCH_MORNING = "2026-03-12T10:15:00-05:00"


@dataclass
class Api:
    """A client of the service with the keys it needs. The network is two schools on one stream."""

    client: TestClient
    engine: Engine
    keys: dict[str, str] = field(default_factory=dict)
    entered: dict[str, list[TableContent]] = field(default_factory=dict)
    tables: Sequence[Table] = ()

    def key(self, role: Role, school: str | None = None, **more: Any) -> str:
        with Session(self.engine) as session:
            _, token = create_key(session, role, school, "test", **more)
            session.commit()
        return token

    def call(self, method: str, address: str, key: str | None = None, **more: Any) -> Any:
        headers = {"Authorization": f"Bearer {self.keys.get(key, key)}"} if key else {}
        return self.client.request(method, address, headers=headers | more.pop("headers", {}), **more)

    def get(self, address: str, key: str | None = None) -> Any:
        return self.call("GET", address, key)

    def post(self, address: str, body: Any, key: str | None = "coordinator") -> Any:
        return self.call("POST", address, key, json=body)

    def submit(self, body: Json, key: str | None = "heron") -> Json:
        answer = self.post("/v1/visits", body, key)
        assert answer.status_code in (200, 201), answer.text
        return answer.json()

    def once(self, enter: Callable[["Api"], Any]) -> "Api":
        """Let ``enter`` fill the network of `api`; the second time its rows are put there without it."""
        name = f"{enter.__module__}.{enter.__qualname__}"
        if name not in self.entered:
            enter(self)
            self.entered[name] = read_content(self.engine, self.tables)
        else:
            restore_content(self.engine, self.entered[name])
        return self

    def every(self, address: str, key: str | None = None) -> list[Json]:
        """Walk all pages of a list."""
        rows, url = [], address
        while url:
            answer = self.get(url, key)
            assert answer.status_code == 200, answer.text
            rows += answer.json()["items"]
            url = answer.json()["next"]
        return rows


def reading(parameter: str, value: float | None, unit: str | None = None, **more: Any) -> Json:
    return {"parameter": parameter, "value": value} | ({"unit": unit} if unit else {}) | more


def visit(site: str = "reed-02", observed_at: str = MARCH_MORNING, **more: Any) -> Json:
    readings = [
        reading("water_temperature", 6.5, "degC", kit="thermometer-alcohol"),
        reading("ph", 7, kit="ph-tablet-comparator"),
        reading("dissolved_oxygen", 8, "mg/L", kit="oxygen-tablet-comparator"),
    ]
    return {"site": site, "observed_at": observed_at, "readings": readings} | more


def catch(*counts: tuple[str, int] | tuple[str, int, str], **more: Any) -> Json:
    lines = [
        {"taxon": name, "count": number} | ({"life_stage": stage[0]} if stage else {})
        for name, number, *stage in counts
    ]
    return {"count_scheme": "counts", "counts": lines} | more


@pytest.fixture(scope="session")
def running(migrated_database: tuple[Engine, Any], backend: str, to_the_end: Kept) -> TestClient:
    def start() -> TestClient:
        engine, _ = migrated_database
        settings = Settings(database_url=engine.url.render_as_string(hide_password=False))
        client = TestClient(create_app(settings), raise_server_exceptions=False)
        to_the_end.enter_context(client)
        spare_the_disk(client.app.state.engine)
        return client

    return to_the_end.once(backend, "service", start)


@pytest.fixture
def empty_api(engine: Engine, running: TestClient) -> Api:
    """The service with a coordinator's key and nothing else."""
    api = Api(running, engine)
    api.keys["coordinator"] = api.key(Role.COORDINATOR)
    return api


@pytest.fixture(scope="session")
def network(
    running: TestClient, migrated_database: tuple[Engine, list[TableContent]], backend: str, to_the_end: Kept
) -> Api:
    """The network of `api`, and what tests have entered into it; the database is left as migrated."""

    def enter() -> Api:
        engine, as_migrated = migrated_database
        api = Api(running, engine, tables=[table for table, _rows in as_migrated])
        api.keys["coordinator"] = api.key(Role.COORDINATOR)
        api.once(enter_network)
        restore_content(engine, as_migrated)
        return api

    return to_the_end.once(backend, "network", enter)


@pytest.fixture
def api(engine: Engine, network: Api) -> Api:
    """The service with two schools, heron and otter, and their sites on one stream and one apart."""
    return replace(network, keys=dict(network.keys)).once(enter_network)


def enter_network(api: Api) -> None:
    """Enter the two schools, their keys and their sites."""
    for code in ("heron", "otter"):
        school = {"code": code, "name": f"{code.title()} School", "time_zone": "America/New_York"}
        assert api.post("/v1/schools", school).status_code == 201
        api.keys[code] = api.key(Role.SCHOOL, code)
    api.keys["reader"] = api.key(Role.READER)
    sites = (
        ("reed-01", "otter", "reed", 1.0, "020700100103"),
        ("reed-02", "heron", "reed", 4.5, "020700100103"),
        ("fern-01", "otter", "fern", 2.0, "020801020304"),
    )
    for code, school, stream, km, watershed in sites:
        site = {
            "code": code,
            "name": code.title(),
            "school": school,
            "stream": stream,
            "stream_km": km,
            "latitude": 40.123456,
            "longitude": -75.654321,
            "elevation_m": 120,
            "watershed": {"scheme": "huc", "code": watershed},
            "established_on": "2024-09-01",
        }
        assert api.post("/v1/sites", site).status_code == 201
