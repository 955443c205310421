"""No more requests at a time than connections: a hundred at once are all answered, one after the other."""

import threading
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient
from sqlalchemy import Engine
from sqlmodel import select

from service.app import create_app
from service.core.database import RequestSession
from service.core.settings import Settings
from service.schools.caller import ReadCaller
from service.schools.tables import School

THREADS = 4


def service(engine: Engine, **more: Any) -> FastAPI:
    """The service with few places, and an address that works for a while between two statements."""
    url = engine.url.render_as_string(hide_password=False)
    app = create_app(Settings(database_url=url, threads=THREADS, **more))

    @app.get("/slow")
    def slow(session: RequestSession, caller: ReadCaller) -> int:
        before = session.exec(select(School)).all()
        time.sleep(0.005)
        return len(before) - len(session.exec(select(School)).all())

    return app


def test_a_hundred_at_once_are_all_answered(engine: Engine) -> None:
    with (
        TestClient(service(engine), raise_server_exceptions=False) as client,
        ThreadPoolExecutor(100) as pool,
    ):
        answered = list(pool.map(lambda _: client.get("/slow").status_code, range(100)))
    assert answered == [200] * 100


@pytest.fixture
def full(engine: Engine) -> Iterator[tuple[TestClient, Callable[[], None]]]:
    """A service whose places are all taken until they are given up."""
    app, give_up, inside = service(engine, statement_timeout_s=1), threading.Event(), threading.Semaphore(0)

    @app.get("/wait")
    def wait(session: RequestSession) -> bool:
        session.connection()
        inside.release()
        return give_up.wait(30)

    with TestClient(app) as client, ThreadPoolExecutor(THREADS) as pool:

        def stay() -> int:
            # On a busy machine a new connection may take longer than the second that a statement has.
            while (status := client.get("/wait").status_code) == 503:
                pass
            return int(status)

        at_work = [pool.submit(stay) for _ in range(THREADS)]
        assert all(inside.acquire(timeout=20) for _ in at_work)
        yield client, give_up.set
        give_up.set()
        assert [one.result() for one in at_work] == [200] * THREADS


def test_who_waited_in_vain_is_told_to_come_again(full: tuple[TestClient, Callable[[], None]]) -> None:
    client, give_up = full
    began = time.monotonic()
    answer = client.get("/v1/schools")
    assert 0.9 < time.monotonic() - began < 5  # the statement timeout is 1 s
    assert (answer.status_code, answer.headers["Retry-After"]) == (503, "5")
    assert answer.headers["content-type"] == "application/problem+json"
    give_up()
    assert client.get("/v1/schools").status_code == 200


def test_it_is_alive_also_when_all_places_are_taken(full: tuple[TestClient, Callable[[], None]]) -> None:
    client, _ = full
    began = time.monotonic()
    assert client.get("/healthz").status_code == 200
    assert time.monotonic() - began < 1  # the patience of a request that needs a place
