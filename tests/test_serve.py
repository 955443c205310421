"""`wadebook serve` as the operator starts, trusts and stops it."""

import signal
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import httpx
import pytest
from sqlmodel import Session

from service.app import create_app
from service.cli import main
from service.core.database import make_engine
from service.core.migrate import upgrade
from service.core.rates import Rates
from service.core.settings import Settings
from service.schools.keep_key import create_key
from service.schools.tables import Role
from tests.served import HERE, served, wadebook_serve, within_one_minute

SCHOOL = {"code": "ibis", "name": "Ibis School", "time_zone": "UTC"}
ON_SQLITE = pytest.mark.parametrize("backend", ["sqlite"], indirect=True, scope="session")


@ON_SQLITE
def test_it_finishes_what_is_at_work_when_it_is_stopped(
    empty_database_url: Callable[[], str], tmp_path: Path
) -> None:
    url = empty_database_url()
    upgrade(url)
    engine = make_engine(url)
    with Session(engine) as session:
        key = create_key(session, Role.COORDINATOR, None, "office")[1]
        session.commit()
    headers = {"Authorization": f"Bearer {key}"}
    with wadebook_serve(tmp_path, database_url=url) as service, ThreadPoolExecutor(1) as pool:
        answer = httpx.get(f"{service.url}/v1/schools", headers=headers, timeout=30)
        assert (answer.status_code, "server" in answer.headers) == (200, False)
        assert "RateLimit" in answer.headers
        shared = list(tmp_path.glob("wadebook-*/rates.db"))
        with engine.begin():  # the writer whom the request waits for
            waiting = pool.submit(
                httpx.post, f"{service.url}/v1/schools", json=SCHOOL, headers=headers, timeout=30
            )
            time.sleep(0.5)
            service.process.send_signal(signal.SIGTERM)
            time.sleep(0.5)
            assert not waiting.done()
        assert waiting.result().status_code == 201
        assert service.process.wait(30) == 0
        said = [line["message"] for line in service.lines()]
    assert "Finished server process" in said[-1]
    assert len(shared) == 1
    assert list(tmp_path.glob("wadebook-*")) == []
    with engine.connect() as connection:
        assert connection.exec_driver_sql("SELECT code FROM school").scalars().all() == ["ibis"]


def test_sqlite_is_served_by_one_process(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("WADEBOOK_WORKERS", "2")
    monkeypatch.setenv("WADEBOOK_DATABASE_URL", "sqlite:///never_opened.db")
    assert main(["serve"]) == 1
    assert "WADEBOOK_WORKERS: SQLite serves one process; use PostgreSQL for more" in capsys.readouterr().err


def ask_through(proxy: str, forwarded: list[str], folder: Path) -> list[int]:
    """Ask a service that answers each address once; the requests come from here, for others."""
    settings = Settings(database_url=f"sqlite:///{folder / 'never_opened.db'}", proxy=proxy)
    app = create_app(settings, Rates(per_key=0, per_address=1, failed_keys=0))
    with served(app, settings) as port:
        url = f"http://{HERE}:{port}/v1/catalogue/kits"
        within_one_minute()
        asked = [httpx.get(url, headers={"X-Forwarded-For": one}, timeout=30) for one in forwarded]
    return [answer.status_code for answer in asked]


@pytest.mark.parametrize(
    ("proxy", "forwarded", "answered"),
    [
        ("", ["192.0.2.1", "192.0.2.2"], [200, 429]),
        ("192.0.2.99", ["192.0.2.1", "192.0.2.2"], [200, 429]),
        (HERE, ["192.0.2.1", "192.0.2.2", "192.0.2.1"], [200, 200, 429]),
        # What a caller puts before the proxy's own word is not believed.
        (HERE, ["198.51.100.1, 192.0.2.1", "198.51.100.2, 192.0.2.1"], [200, 429]),
    ],
    ids=["none", "another's", "ours", "ours and forged"],
)
def test_only_the_named_proxy_is_believed(
    tmp_path: Path, proxy: str, forwarded: list[str], answered: list[int]
) -> None:
    assert ask_through(proxy, forwarded, tmp_path) == answered
