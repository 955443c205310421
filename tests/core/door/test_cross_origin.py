"""Scripts of other web pages: they may ask, and read every answer, also one that refuses or failed.

What a browser demands: WHATWG Fetch standard, section "HTTP extensions / CORS protocol".
"""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient

from service.app import create_app
from service.core.rates import Rates
from service.core.settings import Settings

PAGE = {"Origin": "https://notice-board.example"}
NEEDED = ("Link", "ETag", "RateLimit", "Retry-After", "X-Request-Id", "Content-Disposition")


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    settings = Settings(database_url=f"sqlite:///{tmp_path / 'no_tables.db'}", max_body_bytes=1024)
    app = create_app(settings, Rates(per_key=9, per_address=9, failed_keys=9))

    @app.get("/broken")
    def broken() -> None:
        raise RuntimeError("planted")

    with TestClient(app, raise_server_exceptions=False) as client:
        yield client


@pytest.mark.parametrize(
    ("method", "address", "more", "status"),
    [
        ("GET", "/healthz", {}, 200),
        ("HEAD", "/healthz", {}, 200),
        ("GET", "/v1/nothing", {}, 404),
        ("DELETE", "/healthz", {}, 405),
        ("GET", "/v1/catalogue/kits?x=1", {}, 400),
        ("POST", "/v1/visits", {}, 401),
        ("POST", "/healthz", {"content": b"x" * 2000}, 413),
        ("GET", "/healthz", {"headers": PAGE | {"Note": "x" * 70_000}}, 431),
        ("GET", "/broken", {}, 500),
        ("HEAD", "/broken", {}, 500),
    ],
)
def test_a_script_may_read_every_answer(
    client: TestClient, method: str, address: str, more: dict[str, Any], status: int
) -> None:
    answer = client.request(method, address, **{"headers": PAGE} | more)
    assert answer.status_code == status
    assert answer.headers["access-control-allow-origin"] == "*"
    exposed = answer.headers["access-control-expose-headers"].lower().split(", ")
    assert {name.lower() for name in NEEDED} <= set(exposed)
    assert answer.headers["x-request-id"]


def test_a_script_may_read_that_it_asks_too_often(client: TestClient) -> None:
    for _ in range(10):
        answer = client.get("/v1/catalogue/kits", headers=PAGE)
    assert answer.status_code == 429
    assert answer.headers["access-control-allow-origin"] == "*"
    assert int(answer.headers["retry-after"]) > 0


@pytest.mark.parametrize("address", ["/v1/visits", "/v1/visits/x", "/v1/keys", "/v1/nothing"])
@pytest.mark.parametrize("method", ["GET", "HEAD", "POST", "PUT", "PATCH", "DELETE"])
def test_a_browser_that_asks_beforehand_is_let_ask(client: TestClient, address: str, method: str) -> None:
    wanted = "authorization, content-type, idempotency-key, if-match, if-none-match, range"
    asked = {"Access-Control-Request-Method": method, "Access-Control-Request-Headers": wanted}
    answer = client.options(address, headers=PAGE | asked)
    assert (answer.status_code, answer.content) == (204, b"")
    assert answer.headers["access-control-allow-origin"] == "*"
    assert method in answer.headers["access-control-allow-methods"].split(", ")
    allowed = answer.headers["access-control-allow-headers"].lower().split(", ")
    assert set(wanted.split(", ")) <= set(allowed)


def test_asking_beforehand_costs_nothing_of_the_callers_share(client: TestClient) -> None:
    asked = {"Access-Control-Request-Method": "GET"}
    for _ in range(20):
        assert client.options("/v1/catalogue/kits", headers=PAGE | asked).status_code == 204
    assert client.get("/v1/catalogue/kits", headers=PAGE).status_code == 200


def test_no_cookie_is_ever_let_through(client: TestClient) -> None:
    # With Allow-Credentials a page could use what the browser itself holds; nothing here may go by that.
    assert "access-control-allow-credentials" not in client.get("/healthz", headers=PAGE).headers
