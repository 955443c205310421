"""Loading a network waits where the service asks for it, as any good client does."""

from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from service.core.door.rate_limit import RateLimit
from service.core.errors import WadebookError
from service.core.rates import Rates
from service.demo import send_network
from tests.api import Api

# It is the client that is tried here; which database answers makes no difference.
pytestmark = pytest.mark.parametrize("backend", ["sqlite"], indirect=True, scope="session")
FILES = ("schools", "kit_lots", "watersheds", "sites", "criteria", "visits", "readings", "counts")
SCHOOLS = 7


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A network of nothing but schools."""
    for name in FILES:
        (tmp_path / f"{name}.csv").write_text("")
    rows = [f"ibis-{number},Ibis School {number},UTC" for number in range(SCHOOLS)]
    (tmp_path / "schools.csv").write_text("\n".join(["code,name,time_zone", *rows]))
    return tmp_path


def busy(api: Api, rates: Rates, window_s: int) -> TestClient:
    """The service behind a door that lets few requests in."""
    door = RateLimit(api.client.app, rates, ":memory:", window_s)
    return TestClient(door, headers={"Authorization": f"Bearer {api.keys['coordinator']}"})


def test_it_waits_as_long_as_the_service_says(empty_api: Api, folder: Path) -> None:
    client = busy(empty_api, Rates(per_key=3, per_address=3, failed_keys=0), window_s=1)
    send_network(client, folder)  # type: ignore[arg-type]
    assert len(empty_api.every("/v1/schools")) == SCHOOLS


def test_it_says_so_when_the_service_never_has_time(
    empty_api: Api, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("service.demo.MOST_WAITS", 2)
    client = busy(empty_api, Rates(per_key=1, per_address=1, failed_keys=0), window_s=1)
    client.app.now = lambda: 1_800_000_000.0  # a clock that stands still: the next window never comes
    with pytest.raises(WadebookError, match="Too many requests"):
        send_network(client, folder)  # type: ignore[arg-type]
    assert [school["code"] for school in empty_api.every("/v1/schools")] == ["ibis-0"]
