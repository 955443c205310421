"""Visits handed in while the service is killed again and again: what was acknowledged, what is there then."""

import time
import uuid
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path
from random import Random
from typing import Any

import httpx
import sqlalchemy as sa
from fastapi.testclient import TestClient
from sqlmodel import Session

from service.app import create_app
from service.core.database import make_engine
from service.core.settings import Settings
from service.schools.keep_key import create_key
from service.schools.tables import Role
from tests.api import Json, catch, reading, visit
from tests.served import Service, wadebook_serve

Happening = Callable[[Service], None]  # to the service, or to its database
PATIENCE_S, PAUSE_S = 120, 0.1
LOOK_EVERY_S, LONGEST_WAIT_S = 0.002, 0.02
VISITS_OF_A_SITE = 25
CORRECTED, WITH_A_CATCH, DECIDED = 3, 5, 7  # of each ten visits, the one with this number


def kill(service: Service) -> None:
    """End the process at once, whatever it is doing."""
    service.process.kill()
    service.process.wait()


@dataclass
class Clients:
    """Schools that send each request until it is answered, and keep what was answered last of each visit."""

    key: str
    sites: int
    url: str = ""
    acknowledged: dict[str, Json] = field(default_factory=dict)
    again: int = 0  # requests that were sent more than once
    known: int = 0  # visits that were stored already when they were sent again: their answer was lost
    give_up: bool = False

    def hand_in(self, numbers: Iterator[int], until: int) -> None:
        with httpx.Client(timeout=PATIENCE_S, headers={"Authorization": f"Bearer {self.key}"}) as client:
            while (number := next(numbers)) < until:
                self._hand_in_one(client, number)

    def _hand_in_one(self, client: httpx.Client, number: int) -> None:
        """Hand in a visit; of ten one is corrected, and one is held and then released."""
        own_id = str(uuid.UUID(int=number + 1))
        address, body = f"/v1/visits/{own_id}", _body(number, self.sites)
        answer = self._until_answered(client, "POST", "/v1/visits", json=body | {"visit_id": own_id})
        self.acknowledged[own_id] = answer.json()
        self.known += answer.status_code == httpx.codes.OK
        if number % 10 == CORRECTED:
            corrected, seen = body | {"notes": "read again"}, {"If-Match": answer.headers["etag"]}
            answer = self._until_answered(client, "PUT", address, json=corrected, headers=seen)
        if number % 10 == DECIDED:
            decision, name = {"action": "release", "reason": "a bog"}, {"Idempotency-Key": own_id}
            answer = self._until_answered(client, "POST", f"{address}/decisions", json=decision, headers=name)
        self.acknowledged[own_id] = answer.json()

    def _until_answered(self, client: httpx.Client, method: str, address: str, **more: Any) -> httpx.Response:
        give_up_at = time.monotonic() + PATIENCE_S
        for tried in count():
            try:
                answer = client.request(method, self.url + address, **more)
            except httpx.TransportError:
                answer = None
            if answer is not None and answer.status_code != httpx.codes.SERVICE_UNAVAILABLE:
                assert answer.status_code in (200, 201), (method, address, answer.status_code, answer.text)
                self.again += tried > 0
                return answer
            if self.give_up or time.monotonic() > give_up_at:
                break
            time.sleep(PAUSE_S)
        raise AssertionError(f"{method} {address} was not answered in {PATIENCE_S} s")


def _body(number: int, sites: int) -> Json:
    nth, site = divmod(number, sites)
    hour, day = 8 + nth % 4, 1 + nth // 4
    more: Json = {"team": f"t-{number}"}
    if number % 10 == DECIDED:
        more["readings"] = [reading("ph", 15)]
    if number % 10 == WITH_A_CATCH:
        more["catch"] = catch(("mayfly", 14), ("worm", 3))
    return visit(f"site-{site}", f"2026-03-{day:02}T{hour:02}:15:00-05:00", **more)


def enter_network(url: str, sites: int) -> str:
    """Enter a school with its sites, and return a coordinator's key."""
    with TestClient(create_app(Settings(database_url=url))) as client:
        with Session(client.app.state.engine) as session:
            _, key = create_key(session, Role.COORDINATOR, None, "office")
            session.commit()
        bodies: list[tuple[str, Json]] = [
            ("/v1/schools", {"code": "heron", "name": "Heron School", "time_zone": "America/New_York"})
        ]
        for number in range(sites):
            site = {"code": f"site-{number}", "name": "A bend", "school": "heron", "elevation_m": 120}
            bodies.append(("/v1/sites", site))
        for address, body in bodies:
            answer = client.post(address, json=body, headers={"Authorization": f"Bearer {key}"})
            assert answer.status_code == 201, answer.text
    return key


def run(
    url: str, folder: Path, happenings: Sequence[Happening], *, visits: int, clients: int = 4, seed: int = 1
) -> Clients:
    """Hand in visits and let things happen at moments drawn at random; return what was acknowledged."""
    draw, sites = Random(seed), -(-visits // VISITS_OF_A_SITE)
    handed = Clients(enter_network(url, sites), sites)
    moments = sorted(draw.sample(range(1, visits * 9 // 10), len(happenings)))
    to_come = list(zip(moments, happenings, strict=True))[::-1]
    numbers = count()
    with ThreadPoolExecutor(clients) as pool:
        working: list[Future[None]] = []
        try:
            while not working or not all(one.done() for one in working):
                with wadebook_serve(folder, database_url=url, rate_per_key="0") as service:
                    handed.url = service.url
                    working = working or [
                        pool.submit(handed.hand_in, numbers, visits) for _ in range(clients)
                    ]
                    _live_through(service, to_come, handed, working, draw)
        finally:
            handed.give_up = True
        for one in working:
            one.result()
    assert to_come == []
    return handed


def _live_through(
    service: Service,
    to_come: list[tuple[int, Happening]],
    handed: Clients,
    working: Sequence[Future[None]],
    draw: Random,
) -> None:
    """Let happen what is to come, until the service is no more or the clients are done."""
    while service.process.poll() is None and not all(one.done() for one in working):
        for one in working:
            if one.done():
                one.result()  # a client that has failed ends it all
        if to_come and len(handed.acknowledged) >= to_come[-1][0]:
            time.sleep(draw.random() * LONGEST_WAIT_S)
            to_come.pop()[1](service)
        time.sleep(LOOK_EVERY_S)


def faults(url: str, handed: Clients) -> list[str]:
    """Return what is not as it was acknowledged: visits lost, doubled, half written, or never handed in."""
    found = []
    with TestClient(create_app(Settings(database_url=url))) as client:
        for visit_id, answer in handed.acknowledged.items():
            stored = client.get(f"/v1/visits/{visit_id}", headers={"Authorization": f"Bearer {handed.key}"})
            if stored.json() != answer:
                found.append(f"{visit_id} was answered as {answer} and is {stored.text}")
    engine = make_engine(url)
    with engine.begin() as connection:
        for what, (query, wanted) in _counted(len(handed.acknowledged)).items():
            number = connection.execute(sa.text(query)).scalar_one()
            if number != wanted:
                found.append(f"{what}: {number}, not {wanted}")
    engine.dispose()
    return found


def _counted(visits: int) -> dict[str, tuple[str, int]]:
    """Return what is counted in the database, how, and how much it must be."""
    corrected = sum(number % 10 == CORRECTED for number in range(visits))
    decided = sum(number % 10 == DECIDED for number in range(visits))
    of_revisions = "FROM visit_revision AS r LEFT JOIN reading AS p ON p.visit_id = r.visit_id"
    return {
        "visits": ("SELECT count(*) FROM visit", visits),
        "revisions": ("SELECT count(*) FROM visit_revision", visits + corrected),
        "revisions without readings": (
            f"SELECT count(*) {of_revisions} AND p.revision = r.revision WHERE p.visit_id IS NULL",
            0,
        ),
        "decisions": ("SELECT count(*) FROM decision", decided),
        "kept answers": ("SELECT count(*) FROM answered_once WHERE answer IS NOT NULL", decided),
        "changes": (
            "SELECT count(*) FROM change WHERE subject = 'visit'",
            visits + corrected + decided,
        ),
        "holes in the numbers of changes": ("SELECT max(number) - count(*) FROM change", 0),
    }
