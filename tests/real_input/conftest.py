"""The class's six years, handed in over HTTP once for all tests of this folder."""

from collections.abc import Iterator

import pytest
from fastapi.testclient import TestClient

from service.app import create_app
from service.core.migrate import upgrade
from service.core.settings import Settings
from service.schools.tables import Role
from tests.api import Api
from tests.databases import new_sqlite, spare_the_disk
from tests.real_input.class_files import COUNTS_FILE, READINGS_FILE, rows_of, samples
from tests.real_input.class_visits import SITES, first_stated_time, visit_of
from tests.real_input.handed_in import HandedIn


@pytest.fixture(scope="session")
def handed_in(tmp_path_factory: pytest.TempPathFactory) -> Iterator[HandedIn]:
    """Every visit of the two files in the order of its time, and everything read back by its own school.

    What real files show of the science does not hang on the database: it is SQLite.
    """
    readings, counts = samples(rows_of(READINGS_FILE)), samples(rows_of(COUNTS_FILE))
    url = new_sqlite(tmp_path_factory.mktemp("class"))
    upgrade(url)
    with TestClient(create_app(Settings(database_url=url)), raise_server_exceptions=False) as client:
        api = Api(client, client.app.state.engine)
        spare_the_disk(api.engine)
        _set_up(api)
        in_time = sorted(readings, key=lambda sample: (first_stated_time(readings[sample]), sample))
        bodies = {sample: visit_of(readings[sample], counts.get(sample, [])) for sample in in_time}
        answers = {sample: api.post("/v1/visits", body, "class") for sample, body in bodies.items()}
        documents = {
            sample: api.get(f"/v1/visits/{body['visit_id']}", "class").json()
            for sample, body in bodies.items()
        }
        yield HandedIn(api, readings, counts, bodies, answers, documents)


def _set_up(api: Api) -> None:
    api.keys["coordinator"] = api.key(Role.COORDINATOR)
    school = {"code": "class", "name": "River Class", "time_zone": "America/New_York"}
    assert api.post("/v1/schools", school).status_code == 201
    api.keys["class"] = api.key(Role.SCHOOL, "class")
    for stream_km, code in enumerate(reversed(SITES.values()), start=1):
        site = {
            "code": code,
            "name": code.replace("-", " ").capitalize(),
            "school": "class",
            "stream": "pond-brook",
            "stream_km": float(stream_km),
            "watershed": {"scheme": "huc", "code": "020799990101"},
        }
        assert api.post("/v1/sites", site).status_code == 201
