"""Behind a reverse proxy that shows the service under a path: it answers, and its links lead back to it."""

import shutil
import socket
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import httpx2
import pytest
from fastapi.testclient import TestClient
from starlette.types import ASGIApp

from service.app import create_app
from service.core.migrate import upgrade
from service.core.rates import Rates
from service.core.settings import Settings
from tests.served import HERE, served

PUBLIC = "https://rivers.example/net/streams"
NEEDS_NGINX = pytest.mark.skipif(shutil.which("nginx") is None, reason="nginx is not installed")


@pytest.fixture
def service(tmp_path: Path) -> ASGIApp:
    url = f"sqlite:///{tmp_path / 'network.db'}"
    upgrade(url)
    return create_app(Settings(database_url=url, public_url=PUBLIC + "/"), Rates(1000, 9, 9))


@pytest.fixture
def client(service: ASGIApp) -> Iterator[TestClient]:
    with TestClient(service, base_url="http://service:8000") as client:
        yield client


@pytest.mark.parametrize("before", ["", "/net/streams"])
def test_it_answers_whether_the_proxy_cuts_the_path_or_not(client: TestClient, before: str) -> None:
    for address in ("/healthz", "/v1/sites", "/v1/catalogue/kits", "/static-offline-docs/swagger-ui.css"):
        assert client.get(before + address).status_code == 200, address
    assert client.post(before + "/v1/visits", json={}).status_code == 401
    assert client.get("/net/streamside/v1/sites").status_code == 404


@pytest.mark.parametrize("before", ["", "/net/streams"])
def test_links_lead_back_through_the_proxy(client: TestClient, before: str) -> None:
    answer = client.get(before + "/v1/changes?limit=7")
    link = answer.json()["next"]
    assert link.startswith(PUBLIC + "/v1/changes?")
    assert answer.headers["link"] == f'<{link}>; rel="next"'
    assert client.get(before + link.removeprefix(PUBLIC)).status_code == 200


@pytest.mark.parametrize("before", ["", "/net/streams"])
def test_the_docs_page_finds_its_parts(client: TestClient, before: str) -> None:
    page = client.get(before + "/docs").text
    for part in ("/openapi.json", "/static-offline-docs/swagger-ui-bundle.js"):
        assert f"/net/streams{part}" in page
    assert client.get(before + "/openapi.json").json()["servers"] == [{"url": "/net/streams"}]


@pytest.mark.parametrize("before", ["", "/net/streams"])
def test_the_doors_know_their_addresses_under_the_path(client: TestClient, before: str) -> None:
    for _ in range(30):  # more than an address may ask: this one is open to all
        assert client.get(before + "/healthz").status_code == 200


CONFIGURATION = """
daemon off; pid {folder}/nginx.pid; error_log {folder}/error.log;
events {{}}
http {{
  access_log off;
  client_body_temp_path {folder}/body; proxy_temp_path {folder}/proxy; fastcgi_temp_path {folder}/fastcgi;
  uwsgi_temp_path {folder}/uwsgi; scgi_temp_path {folder}/scgi;
  server {{
    listen {here}:{port};
    location /net/streams/ {{ proxy_pass http://{here}:{service}{cut}; }}
  }}
}}
"""


@contextmanager
def behind_nginx(folder: Path, service: int, *, cut: bool) -> Iterator[str]:
    """Start a reverse proxy before the service, and give the address of the prefix."""
    with socket.create_server((HERE, 0)) as free:
        port = free.getsockname()[1]
    file = folder / "nginx.conf"
    filled = CONFIGURATION.format(
        folder=folder, here=HERE, port=port, service=service, cut="/" if cut else ""
    )
    file.write_text(filled, "utf-8")
    process = subprocess.Popen(["nginx", "-c", str(file), "-e", str(folder / "error.log")])
    try:
        for _ in range(200):
            try:
                socket.create_connection((HERE, port)).close()
                break
            except OSError:
                time.sleep(0.05)
        yield f"http://{HERE}:{port}/net/streams"
    finally:
        process.terminate()
        process.wait(10)


@NEEDS_NGINX
@pytest.mark.parametrize("cut", [True, False])
def test_behind_a_real_proxy_every_part_works(service: ASGIApp, tmp_path: Path, cut: bool) -> None:
    with served(service) as port, behind_nginx(tmp_path, port, cut=cut) as address:
        answer = httpx2.get(f"{address}/v1/changes", headers={"Accept-Encoding": "identity"})
        assert answer.status_code == 200
        assert answer.json()["next"].startswith(f"{PUBLIC}/v1/changes?")
        again = httpx2.get(f"{address}/v1/changes", headers={"If-None-Match": answer.headers["etag"]})
        assert again.status_code == 304
        assert httpx2.head(f"{address}/v1/sites").headers["content-length"] == "24"
        assert httpx2.get(f"{address}/static-offline-docs/swagger-ui.css").status_code == 200
        asked = {"Origin": "https://a.example", "Access-Control-Request-Method": "GET"}
        assert httpx2.options(f"{address}/v1/sites", headers=asked).status_code == 204
        assert httpx2.post(f"{address}/v1/visits", json={}).status_code == 401
