"""What everybody sees of the network, compared with the plain model of it."""

import itertools
from typing import Any

from tests.api import Api, Json
from tests.contracts.network_model import EVERYBODY, KnownVisit, Network, Who, row_of, sees_into
from tests.network.test_changes import Copy

MAY_BE_LEFT_OUT = ("team", "notes", "place", "catch", "gauging", "bottles")
OF_THE_NEWEST = ("site", "kind")  # stand in the register's row of a visit, and there only
TRAIL = ("subject", "subject_id", "action", "what", "key_id")


def holds(found: Any, given: Any) -> bool:
    """Tell whether all that was given is there, whatever else there is."""
    if isinstance(given, dict):
        return all(name in found and holds(found[name], value) for name, value in given.items())
    if isinstance(given, list):
        return len(found) == len(given) and all(map(holds, found, given))
    return bool(found == given)


class Eyes:
    """All callers at once, each with a copy of the network that follows the feed."""

    def __init__(self, api: Api, known: Network) -> None:
        self.api, self.known = api, known
        self.in_turn = itertools.cycle(EVERYBODY)
        self.copies = {who: Copy(api, limit=3) for who in EVERYBODY}

    def token_of(self, who: Who) -> str | None:
        return self.known.live_keys(who)[-1].token if who else None

    def can_look(self, who: Who) -> bool:
        return who is None or bool(self.known.live_keys(who))

    def look(self, touched: KnownVisit | None = None) -> None:
        """Compare what a step touched with the public's eyes, and all that one caller sees, in his turn."""
        if touched is not None:
            self.see(None, touched)
        who = next(self.in_turn)
        if self.can_look(who):
            self.read_lists(who)
            for stored in (touched,) if touched is not None else ():
                self.see(who, stored)

    def look_at_everything(self) -> None:
        """Compare all lists with everybody's eyes, each visit with those of somebody, and the trail."""
        for who in filter(self.can_look, EVERYBODY):
            self.read_lists(who)
        for stored in self.known.visits.values():
            who = next(filter(self.can_look, self.in_turn))
            self.see(who, stored)
            self.read_history(who, stored)
        newest_first = self.api.every("/v1/audit?limit=1000", "coordinator")[: len(self.known.trail)]
        assert [tuple(row[name] for name in TRAIL) for row in newest_first[::-1]] == self.known.trail

    def see(self, who: Who, stored: KnownVisit) -> None:
        answer = self.api.get(f"/v1/visits/{stored.id}", self.token_of(who))
        shown = stored.shown_to(who)
        assert answer.status_code == (200 if shown else 404)
        assert shown is None or answer.json() == shown

    def read_lists(self, who: Who) -> None:
        rows = self.query(who, "limit=3")
        assert rows == self.known.listed(who)
        copy = self.copies[who]
        copy.key = self.token_of(who)
        told = {one["visit_id"]: one["visit"] and row_of(one["visit"]) for one in copy.follow()}
        assert told == self.known.told(who)
        copied = [row_of(row) for row in copy.visits.values() if row["kind"] == "routine"]
        assert sorted(copied, key=lambda row: (row["observed_on"], row["visit_id"])) == rows

    def query(self, who: Who, asked: str) -> list[Json]:
        return [row_of(row) for row in self.api.every(f"/v1/visits?{asked}", self.token_of(who))]

    def read_history(self, who: Who, stored: KnownVisit) -> None:
        answer = self.api.get(f"/v1/visits/{stored.id}/revisions", self.token_of(who))
        if not sees_into(who, stored.school):
            assert answer.status_code == {None: 401, "reader": 403}.get(who, 404)
            return
        found = [row["handed_in"] for row in answer.json()["items"]]
        assert len(found) == len(stored.bodies)
        newest = {name: stored.answer[name] for name in OF_THE_NEWEST}
        for handed_in, body in zip(found, stored.bodies, strict=True):
            assert holds(handed_in, body | newest), (handed_in, body)
            assert all(handed_in[name] is None for name in MAY_BE_LEFT_OUT if name not in body)
