"""So many requests a minute of one caller, counted over all workers; good keys do not pay for wrong ones."""

import sqlite3
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient
from sqlalchemy import Engine
from sqlmodel import Session
from starlette.responses import PlainTextResponse
from starlette.types import Receive, Scope, Send

from service.app import create_app
from service.core.door.key_first import bearer_token
from service.core.door.rate_limit import RateLimit
from service.core.rates import NO_LIMIT, Rates
from service.core.settings import Settings
from service.core.tokens import new_token
from service.schools.keep_key import create_key, revoke_key
from service.schools.tables import Role
from tests.served import within_one_minute

HERON, OTTER = new_token(), new_token()
OPEN = "/docs"  # answers whatever key is sent
TO_KEYS = "/v1/visits"
SECOND_20 = 1_800_000_020.0  # of its minute: 1_800_000_000 is a multiple of 60
ON_SQLITE = pytest.mark.parametrize("backend", ["sqlite"], indirect=True, scope="session")


class Behind:
    """What stands behind the door: it knows some keys, as the service does."""

    def __init__(self) -> None:
        self.good = {HERON, OTTER}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        token = bearer_token(scope)
        if scope["path"] != OPEN and token in self.good:
            scope.setdefault("state", {})["key_id"] = token
        refused = scope["path"] != OPEN and token is not None and token not in self.good
        await PlainTextResponse("", 401 if refused else 200)(scope, receive, send)


class Door:
    """A worker's door, with a clock of its own."""

    def __init__(self, rates: Rates, file: Path | str = ":memory:") -> None:
        self.time = SECOND_20
        self.behind = Behind()
        self.app = RateLimit(self.behind, rates, str(file), now=lambda: self.time)

    def answer(self, key: str | None = None, path: str = TO_KEYS, address: str = "192.0.2.7") -> Any:
        headers = {"Authorization": f"Bearer {key}"} if key else {}
        return TestClient(self.app, client=(address, 1)).get(path, headers=headers)

    def ask(self, *asked: Any, **more: Any) -> int:
        return int(self.answer(*asked, **more).status_code)


FREE = Rates(per_key=0, per_address=0, failed_keys=0)


def test_a_key_has_its_share_and_no_other_pays_for_it() -> None:
    door = Door(replace(FREE, per_key=3))
    assert [door.ask(HERON) for _ in range(5)] == [200, 200, 200, 429, 429]
    assert door.ask(HERON, address="192.0.2.8") == 429
    assert door.ask(OTTER) == 200


def test_an_address_without_a_key_has_its_share() -> None:
    door = Door(replace(FREE, per_address=2))
    assert [door.ask() for _ in range(3)] == [200, 200, 429]
    assert door.ask(address="192.0.2.8") == 200


@pytest.mark.parametrize(
    ("other", "status"), [("2001:db8:0:7::2", 429), ("2001:db8:0:8::1", 200), ("testclient", 200)]
)
def test_all_addresses_of_one_ipv6_network_are_one_caller(other: str, status: int) -> None:
    # RFC 6177: a site is given at least a /64, of which it may take any address.
    door = Door(replace(FREE, per_address=1))
    assert door.ask(address="2001:db8:0:7::1") == 200
    assert door.ask(address=other) == status


def test_whoever_tries_wrong_keys_is_stopped_and_a_good_key_beside_him_is_not() -> None:
    door = Door(replace(FREE, failed_keys=2))
    assert door.ask(HERON) == 200
    assert [door.ask(new_token()) for _ in range(3)] == [401, 401, 429]
    assert door.ask("no key at all") == 429
    assert [door.ask(HERON), door.ask(), door.ask(new_token(), address="192.0.2.8")] == [200, 200, 401]


def test_invented_keys_bring_no_share_of_their_own() -> None:
    door = Door(Rates(per_key=2, per_address=2, failed_keys=0))
    assert [door.ask(new_token(), OPEN) for _ in range(3)] == [200, 200, 429]


def test_a_second_key_in_the_same_request_is_not_the_one_that_counts() -> None:
    # The app reads the first field of a name.
    door = Door(replace(FREE, per_key=1))
    client = TestClient(door.app)
    sent = [[("Authorization", f"Bearer {HERON}"), ("Authorization", f"Bearer {new_token()}")] for _ in "123"]
    assert [client.get(TO_KEYS, headers=headers).status_code for headers in sent] == [200, 429, 429]


def test_a_revoked_key_loses_its_share() -> None:
    door = Door(replace(FREE, failed_keys=1))
    assert door.ask(HERON) == 200
    door.behind.good.clear()
    assert [door.ask(HERON), door.ask(HERON)] == [401, 429]


def test_two_workers_count_together(tmp_path: Path) -> None:
    doors = [Door(Rates(per_key=3, per_address=3, failed_keys=2), tmp_path / "rates.db") for _ in "ab"]
    in_turn = doors * 3
    assert [door.ask(HERON) for door in in_turn] == [200, 200, 200, 429, 429, 429]
    assert [door.ask(address="192.0.2.9") for door in in_turn] == [200, 200, 200, 429, 429, 429]
    assert [door.ask(new_token(), address="192.0.2.5") for door in in_turn[:4]] == [401, 401, 429, 429]


def test_the_next_minute_is_a_new_one() -> None:
    door = Door(Rates(per_key=1, per_address=1, failed_keys=1))
    each = [(HERON, "192.0.2.1"), (None, "192.0.2.2"), (new_token(), "192.0.2.3")]
    first = [door.ask(key, address=address) for key, address in each]
    again = [door.ask(key, address=address) for key, address in each]
    door.time += 39.9
    same_minute = [door.ask(key, address=address) for key, address in each]
    door.time += 0.1
    assert [door.ask(key, address=address) for key, address in each] == first == [200, 200, 401]
    assert again == same_minute == [429, 429, 429]


def test_the_header_fields_say_what_is_left() -> None:
    # draft-ietf-httpapi-ratelimit-headers-10: q quota, w window [s]; r remaining, t to the next window [s].
    door = Door(Rates(per_key=2, per_address=5, failed_keys=1))
    first, second, third, fourth = (door.answer(key) for key in (None, HERON, HERON, HERON))
    told = [(one.headers["RateLimit-Policy"], one.headers["RateLimit"]) for one in (first, second, third)]
    assert told == [
        ('"address";q=5;w=60', '"address";r=4;t=40'),
        ('"address";q=5;w=60', '"address";r=3;t=40'),  # the key had yet to prove good
        ('"key";q=2;w=60', '"key";r=0;t=40'),
    ]
    assert fourth.headers["RateLimit"] == '"key";r=0;t=40'
    assert (fourth.status_code, fourth.headers["Retry-After"]) == (429, "40")
    assert fourth.headers["content-type"] == "application/problem+json"
    assert "40 seconds" in fourth.json()["detail"]


def test_zero_is_no_limit_and_says_nothing() -> None:
    door = Door(NO_LIMIT)
    answers = [door.answer(key) for key in (HERON, None, new_token()) for _ in range(30)]
    assert {answer.status_code for answer in answers} == {200, 401}
    assert [one for one in answers if any("ratelimit" in name for name in one.headers)] == []


@pytest.mark.parametrize("path", ["/healthz", "/readyz"])
def test_whether_it_is_well_may_be_asked_at_any_rate(path: str) -> None:
    door = Door(Rates(1, 1, 1))
    assert {door.ask(path=path) for _ in range(4)} == {200}


def test_a_file_that_fails_keeps_nobody_out(tmp_path: Path) -> None:
    door = Door(Rates(per_key=1, per_address=1, failed_keys=1), tmp_path / "rates.db")
    assert [door.ask(), door.ask()] == [200, 429]
    other = sqlite3.connect(tmp_path / "rates.db", isolation_level=None)
    other.execute("BEGIN EXCLUSIVE")
    assert door.ask() == 200
    other.execute("ROLLBACK")
    assert door.ask() == 429


@pytest.fixture
def open_service(engine: Engine, tmp_path: Path) -> Callable[[Rates], TestClient]:
    """Starts workers of the service that share one file of counts."""
    url = engine.url.render_as_string(hide_password=False)
    settings = Settings(database_url=url, rate_file=str(tmp_path / "rates.db"))
    return lambda rates: TestClient(create_app(settings, rates))


@ON_SQLITE
def test_the_service_counts_its_real_keys(
    open_service: Callable[[Rates], TestClient], engine: Engine
) -> None:
    with Session(engine) as session:
        key, token = create_key(session, Role.READER, None, "notice board")
        session.commit()
        rates = Rates(per_key=3, per_address=50, failed_keys=2)
        workers = [open_service(rates), open_service(rates)]
        within_one_minute()
        headers = {"Authorization": f"Bearer {token}"}
        answered = [worker.get("/v1/visits", headers=headers).status_code for worker in workers * 2]
        assert answered == [200, 200, 200, 429]
        revoke_key(session, key.id)
        session.commit()
    wrong = {"Authorization": f"Bearer {new_token()}"}
    answered = [worker.get("/v1/visits", headers=wrong).status_code for worker in workers * 2]
    assert answered == [401, 401, 429, 429]
    assert {worker.get("/v1/schools").status_code for worker in workers} == {200}


@ON_SQLITE
def test_a_service_in_its_own_process_has_no_limits(open_service: Callable[[Rates], TestClient]) -> None:
    worker = open_service(NO_LIMIT)
    assert "RateLimit" not in worker.get("/v1/catalogue/kits").headers
    assert Settings().rates.per_key > 0 < Settings().rates.per_address
