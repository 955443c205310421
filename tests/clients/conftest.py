"""One served network for all tests of programs that people have; a program that is absent skips its tests."""

import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from service.app import create_app
from service.core.database import make_engine
from service.core.migrate import upgrade
from service.core.settings import Settings
from service.schools.tables import Role
from tests.api import Api, enter_network
from tests.databases import new_sqlite
from tests.network.ogc.map_network import fill
from tests.served import HERE, served


def program(name: str) -> str:
    """Return where a program is, or skip the test."""
    found = shutil.which(name)
    if found is None:
        pytest.skip(f"{name} is not on this machine")
    return found


def run(*command: str | Path, seconds: float = 120, **more: object) -> str:
    done = subprocess.run(
        list(map(str, command)), check=False, capture_output=True, text=True, timeout=seconds, **more
    )  # type: ignore[call-overload]
    assert done.returncode == 0, done.stderr
    return str(done.stdout)


@pytest.fixture(scope="session")
def database(tmp_path_factory: pytest.TempPathFactory) -> str:
    """A network whose first site has no place, whose first numbers are whole, and with a site named =1+1."""
    url = new_sqlite(tmp_path_factory.mktemp("clients"))
    upgrade(url)
    engine = make_engine(url)
    with TestClient(create_app(Settings(database_url=url))) as client:
        api = Api(client, engine)
        api.keys["coordinator"] = api.key(Role.COORDINATOR)
        enter_network(api)
        fill(api)
        formula = {"code": "sum-01", "name": "=1+1", "school": "heron"}
        assert api.post("/v1/sites", formula).status_code == 201
    engine.dispose()
    return url


@contextmanager
def serving(database: str, **settings: str) -> Iterator[str]:
    with served(create_app(Settings.model_validate({"database_url": database} | settings))) as port:
        yield f"http://{HERE}:{port}"


@pytest.fixture(scope="session")
def root(database: str) -> Iterator[str]:
    with serving(database) as address:
        yield address
