"""A machine that does things to the service and foretells, by a plain model, what comes of it."""

import itertools
import uuid
from typing import Any
from urllib.parse import urlencode

from hypothesis import strategies as st
from hypothesis.stateful import (
    Bundle,
    RuleBasedStateMachine,
    consumes,
    initialize,
    multiple,
    rule,
)

from tests.api import Api, Json, visit
from tests.contracts.network_deeds import BODIES, CALLERS, DEEDS, DOUBTFUL, IMPOSSIBLE, OWN
from tests.contracts.network_eyes import Eyes
from tests.contracts.network_model import EVERYBODY, SCHOOL_OF, KnownKey, KnownVisit, Network, Who
from tests.contracts.network_rules import (
    decide_status,
    edit_status,
    make_key_status,
    submit_status,
    withdraw_status,
)

USUAL = visit()["readings"]
BEGINNING = (
    ("reed-02", USUAL, ""),
    ("reed-02", IMPOSSIBLE, ""),
    ("fern-01", DOUBTFUL, "release"),
    ("reed-01", USUAL, "reject"),
    ("fern-01", USUAL[:1], "withdraw"),
)


class NetworkMachine(RuleBasedStateMachine):
    """What may be done, and what must be seen."""

    visits = Bundle("visits")
    keys = Bundle("keys")

    def __init__(self, api: Api, known: Network) -> None:
        super().__init__()
        self.api, self.known = api, known
        self.eyes = Eyes(api, known)
        self.numbers = itertools.count(1)

    @initialize(target=keys)
    def begin_with_the_keys(self) -> Any:
        """The coordinator's own is not for revoking."""
        return multiple(*(key for key in self.known.keys if key.who != "coordinator"))

    @initialize(target=visits)
    def begin_with_the_visits(self) -> Any:
        return multiple(*self.known.visits.values())

    def key_of(self, who: str, school: str = "") -> KnownKey:
        """Return the newest good key of a caller, the coordinator's where he has none."""
        who = school if who == OWN else who
        return (self.known.live_keys(who) or self.known.live_keys("coordinator"))[-1]

    def send(self, expected: int, method: str, address: str, key: KnownKey, **more: Any) -> Any:
        answer = self.api.call(method, address, key.token, **more)
        assert answer.status_code == expected, (method, address, key.who, more, answer.text)
        return answer.json()

    def tag_now(self, visit_id: str, answer: Json) -> str:
        """Return the tag of a visit as it was just answered, which is what is read from now on."""
        got = self.api.get(f"/v1/visits/{visit_id}", "coordinator")
        assert got.json() == answer
        return str(got.headers["etag"])

    @rule(target=visits, who=CALLERS, body=BODIES, own_id=st.booleans())
    def submit(self, who: str, body: Json, own_id: bool) -> Any:
        key = self.key_of(who, SCHOOL_OF[body["site"]])
        named = {"visit_id": str(uuid.UUID(int=next(self.numbers)))} if own_id else {}
        expected = submit_status(None, key.who, body)
        answer = self.send(expected, "POST", "/v1/visits", key, json=body | named)
        if expected != 201:
            self.eyes.look()
            return multiple()
        assert (answer["revision"], answer["state"] in ("held", "released")) == (1, True)
        assert answer["visit_id"] == named.get("visit_id", answer["visit_id"])
        assert answer["visit_id"] not in self.known.visits
        stored = self.known.stored(body, answer, self.tag_now(answer["visit_id"], answer), key)
        self.eyes.look(stored)
        return stored

    @rule(stored=visits, who=CALLERS, deed=DEEDS)
    def do(self, stored: KnownVisit, who: str, deed: tuple[str, Json]) -> None:
        getattr(self, deed[0])(stored, who, **deed[1])

    @rule(stored=visits, who=CALLERS, deed=DEEDS)
    def do_more(self, stored: KnownVisit, who: str, deed: tuple[str, Json]) -> None:
        """Do the same: rules are left out at random, and this one should seldom be."""
        self.do(stored, who, deed)

    def hand_in_again(self, stored: KnownVisit, who: str, body: Json, nth: int) -> None:
        """Under the same id: mostly what was sent before, at times something else."""
        key = self.key_of(who, stored.school)
        sent = body if nth == 3 else stored.bodies[nth % len(stored.bodies)]
        expected = submit_status(stored, key.who, sent)
        answer = self.send(expected, "POST", "/v1/visits", key, json=sent | {"visit_id": stored.id})
        assert answer == stored.answer or expected != 200
        self.eyes.look(stored)

    def edit(self, stored: KnownVisit, who: str, body: Json, which: str, moved: bool, same: bool) -> None:
        key, tag = self.key_of(who, stored.school), self.tag(stored, which)
        body = body if moved else body | {"site": stored.answer["site"]}
        body = stored.bodies[-1] if same else body
        expected = edit_status(stored, key.who, body, tag)
        headers = {} if tag is None else {"If-Match": tag}
        answer = self.send(expected, "PUT", f"/v1/visits/{stored.id}", key, json=body, headers=headers)
        if expected == 200 and body == stored.bodies[-1]:
            assert answer == stored.answer
        elif expected == 200:
            assert answer["revision"] == len(stored.bodies) + 1
            assert answer["state"] in (("held",) if stored.state == "rejected" else ("held", "released"))
            self.known.revised(stored, body, answer, self.tag_now(stored.id, answer), key)
        self.eyes.look(stored)

    def tag(self, stored: KnownVisit, which: str) -> str | None:
        stale = [tag for tag in stored.old_tags if tag != stored.tag] or ['"never-was"']
        return {"current": stored.tag, "stale": stale[0], "any": "*", "none": None}[which]

    def withdraw(self, stored: KnownVisit, who: str, which: str) -> None:
        key, tag = self.key_of(who, stored.school), self.tag(stored, which)
        expected = withdraw_status(stored, key.who, tag)
        headers = {} if tag is None else {"If-Match": tag}
        answer = self.send(expected, "DELETE", f"/v1/visits/{stored.id}", key, headers=headers)
        if expected == 200 and stored.state == "withdrawn":
            assert answer == stored.answer
        elif expected == 200:
            assert answer == stored.answer | {"state": "withdrawn"}
            self.known.withdrawn(stored, answer, self.tag_now(stored.id, answer), key)
        self.eyes.look(stored)

    def decide(self, stored: KnownVisit, who: str, what: Json, twice: bool) -> None:
        """Sent a second time, as when its answer was lost, it is answered as before and nothing is done."""
        key = self.key_of("coordinator" if who == OWN else who, stored.school)
        address = f"/v1/visits/{stored.id}/decisions"
        expected = decide_status(stored, key.who, what)
        more = {
            "json": what | {"reason": "seen at the creek"},
            "headers": {"Idempotency-Key": str(uuid.UUID(int=next(self.numbers)))},
        }
        answer = self.send(expected, "POST", address, key, **more)
        if expected == 200:
            wanted = stored.state_after(what), stored.judged_after(what)
            assert not twice or self.send(200, "POST", address, key, **more) == answer
            self.known.decided(stored, what["action"], answer, self.tag_now(stored.id, answer), key)
            assert (stored.state, stored.judged()) == wanted
        self.eyes.look(stored)

    @rule(target=keys, who=st.sampled_from(["heron", "otter", "reader"]))
    def make_key(self, who: str) -> Any:
        key, role = self.key_of("coordinator"), "reader" if who == "reader" else "school"
        body = {"role": role, "school": None if who == "reader" else who, "label": "door"}
        expected = make_key_status(self.known, who)
        answer = self.send(expected, "POST", "/v1/keys", key, json=body)
        if expected != 201:
            return multiple()
        made = KnownKey(answer["id"], who, answer["key"])
        self.known.keys.append(made)
        self.known.trail.append(("key", made.id, "made", f"{role} door", key.id))
        return made

    @rule(key=consumes(keys))
    def revoke_key(self, key: KnownKey) -> None:
        """Revoked a second time it stays as it was; whatever is done with it is refused."""
        by = self.key_of("coordinator")
        answer = self.send(200, "DELETE", f"/v1/keys/{key.id}", by)
        assert self.send(200, "DELETE", f"/v1/keys/{key.id}", by) == answer
        key.revoked = True
        self.known.trail.append(("key", key.id, "removed", f"{answer['role']} {answer['label']}", by.id))
        self.send(401, "GET", "/v1/visits", key)
        self.send(401, "POST", "/v1/visits", key, json=visit())
        self.eyes.look()

    @rule(
        who=st.sampled_from(EVERYBODY),
        state=st.sampled_from([None, "held", "released", "rejected", "withdrawn"]),
        kind=st.sampled_from(["routine", "field-blank"]),
        site=st.sampled_from(["", "reed-01", "reed-02"]),
    )
    def query(self, who: Who, state: str | None, kind: str, site: str) -> None:
        if self.eyes.can_look(who):
            asked = {"limit": 2, "kind": kind, "state": state, "site": site}
            query = urlencode({name: value for name, value in asked.items() if value})
            assert self.eyes.query(who, query) == self.known.listed(who, state, kind, site)

    def teardown(self) -> None:
        self.eyes.look_at_everything()


def a_beginning(api: Api) -> Network:
    """Hand in five visits: released, held, doubtful and then released, rejected, and withdrawn."""
    rows = api.every("/v1/keys", "coordinator")
    whose = [(row["id"], row["school"] or row["role"]) for row in rows]
    known = Network(keys=[KnownKey(key_id, who, api.keys[who]) for key_id, who in whose])
    coordinator = known.live_keys("coordinator")[-1]
    for number, (site, readings, action) in enumerate(BEGINNING, 10**6):
        body, key = visit(site, readings=readings), known.live_keys(SCHOOL_OF[site])[-1]
        answer = api.post("/v1/visits", body | {"visit_id": str(uuid.UUID(int=number))}, key.token)
        stored = known.stored(body, answer.json(), answer.headers["etag"], key)
        address = f"/v1/visits/{stored.id}"
        if action == "withdraw":
            gone = api.call("DELETE", address, key.token)
            known.withdrawn(stored, gone.json(), gone.headers["etag"], key)
        elif action:
            decided = api.post(f"{address}/decisions", {"action": action, "reason": "seen at the creek"})
            tag = api.get(address, "coordinator").headers["etag"]
            known.decided(stored, action, decided.json(), tag, coordinator)
    return known
