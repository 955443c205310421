"""A network in which several write at once, some of them slow to commit, while others walk and follow it."""

import time
from collections import Counter
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from random import Random
from threading import Event
from uuid import UUID

from sqlmodel import Session

from service.core.errors import WadebookError
from service.core.settings import Settings
from service.schools.caller import Caller
from service.schools.tables import Role
from service.visits.schemas import VisitBody
from service.visits.submit import submit_visit
from service.visits.withdraw import withdraw_visit
from tests.api import Api, Json, reading, visit
from tests.network.test_changes import Copy

STEADY, LONGEST_DELAY_S, MAY_BE = 12, 0.08, (200, 201, 409, 412)
READERS = (None, "heron", "coordinator")
DEEDS = {"hand in", "correct", "withdraw", "decide", "kept late", "given up late", "walks"}


@dataclass
class BusyNetwork:
    """Writers, walkers and followers until the time is over. Steady visits are changed, but never go away."""

    api: Api
    seed: int
    steady: list[str] = field(default_factory=list)
    passing: list[str] = field(default_factory=list)
    counted: Counter[str] = field(default_factory=Counter)
    over: Event = field(default_factory=Event)

    def live(self, seconds: float) -> list[Copy]:
        """Let all do their part for some seconds, and each deed be done; return the copies that followed."""
        self.steady += [self.api.submit(body_of(number))["visit_id"] for number in range(STEADY)]
        self.passing += [self.api.submit(body_of(number, team="p"))["visit_id"] for number in range(STEADY)]
        parts: list[Callable[[], object]] = [lambda n=n: self._write(Random(self.seed + n)) for n in range(3)]
        parts += [lambda: self._write_slowly(Random(self.seed)), self._walk]
        with ThreadPoolExecutor(len(parts) + len(READERS)) as pool:
            working = [pool.submit(part) for part in parts]
            following = [pool.submit(self._follow, key) for key in READERS]
            until = time.monotonic() + seconds
            while time.monotonic() < until or not DEEDS.issubset(self.counted):
                if any(one.done() for one in (*working, *following)):
                    break  # nobody ends by himself: one has failed
                time.sleep(0.05)
            self.over.set()
            for one in working:
                one.result()
            return [one.result() for one in following]

    def _write(self, draw: Random) -> None:
        """Hand in, correct, withdraw and decide, in any order."""
        while not self.over.is_set():
            deed = draw.choice(("hand in", "correct", "correct", "withdraw", "decide"))
            number = draw.randrange(10**6)
            if deed == "hand in":
                more = {"readings": [reading("ph", 15)]} if number % 3 == 0 else {}
                self.passing.append(self.api.submit(body_of(number, team=f"t-{number}", **more))["visit_id"])
            else:
                status = getattr(self, f"_{deed}")(draw, number)
                assert status in MAY_BE, (deed, status)
                deed = deed if status in (200, 201) else f"{deed}, refused"
            self.counted[deed] += 1

    def _correct(self, draw: Random, number: int) -> int:
        place = draw.randrange(STEADY)
        target = f"/v1/visits/{self.steady[place]}"
        seen = {"If-Match": self.api.get(target, "heron").headers["etag"]}
        body = body_of(place, notes=f"change {number}")
        return int(self.api.call("PUT", target, "heron", json=body, headers=seen).status_code)

    def _withdraw(self, draw: Random, _: int) -> int:
        return int(self.api.call("DELETE", f"/v1/visits/{draw.choice(self.passing)}", "heron").status_code)

    def _decide(self, draw: Random, number: int) -> int:
        decision = {"action": ("release", "reject")[number % 2], "reason": "seen at the creek"}
        return int(self.api.post(f"/v1/visits/{draw.choice(self.passing)}/decisions", decision).status_code)

    def _write_slowly(self, draw: Random) -> None:
        """Do the same in a transaction that is long open when all is written, and is not always kept."""
        settings, caller = Settings(), Caller(Role.COORDINATOR)
        while not self.over.is_set():
            with Session(self.api.engine, expire_on_commit=False) as session:
                number, keep = draw.randrange(10**6), draw.random() > 0.25
                try:
                    if number % 2:
                        body = VisitBody.model_validate(body_of(number, team=f"slow-{number}"))
                        submit_visit(session, settings, caller, body, dry_run=False)
                    else:
                        withdraw_visit(session, settings, caller, UUID(draw.choice(self.passing)), None)
                except WadebookError:
                    keep = False
                time.sleep(draw.random() * LONGEST_DELAY_S)
                session.commit() if keep else session.rollback()
                self.counted["kept late" if keep else "given up late"] += 1
            time.sleep(draw.random() * LONGEST_DELAY_S)

    def _walk(self) -> None:
        while not self.over.is_set():
            met = [row["visit_id"] for row in self.api.every("/v1/visits?limit=3")]
            assert len(met) == len(set(met))
            assert set(self.steady) <= set(met)
            self.counted["walks"] += 1
            self.counted["rows met"] += len(met)

    def _follow(self, key: str | None) -> Copy:
        copy = Copy(self.api, key, limit=3)
        while not self.over.is_set():
            self.counted["changes told"] += len(copy.follow())
        return copy


def body_of(number: int, **more: object) -> Json:
    return visit(observed_at=f"2026-03-{1 + number % 20:02}T10:{number % 60:02}:00-05:00", **more)
