"""Whatever two schools and a coordinator do in whatever order, the service is equal to a plain model of it.

The status of each request is foretold. After each step the public looks at the visit that was touched, and
one caller after another at that visit, the list and the feed; at the end all lists, histories and the trail.
"""

import itertools
import uuid
from collections import Counter
from collections.abc import Sequence
from copy import deepcopy
from typing import Any
from urllib.parse import urlencode

from hypothesis import HealthCheck, Phase, seed, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    Bundle,
    RuleBasedStateMachine,
    consumes,
    initialize,
    multiple,
    rule,
    run_state_machine_as_test,
)

from tests.api import Api, Json, catch, reading, visit
from tests.contracts.network_eyes import Eyes
from tests.contracts.network_model import EVERYBODY, SCHOOL_OF, KnownKey, KnownVisit, Network, Who
from tests.contracts.network_rules import (
    decide_status,
    edit_status,
    make_key_status,
    submit_status,
    withdraw_status,
)
from tests.databases import read_content, restore_content

OWN = "own"  # the school of the site or the visit in question
CALLERS = st.sampled_from([OWN, OWN, OWN, "coordinator", "coordinator", "heron", "otter", "reader"])
IMPOSSIBLE = [reading("ph", 15)]
# The first is good, the second impossible and so held; the others are odd in one way each.
CONTENTS: Sequence[Json] = (
    {},
    {"readings": IMPOSSIBLE},
    {"readings": [reading("transparency", 60, "cm", censored=">", kit="transparency-tube-60")]},
    {"readings": [reading("ph", None), reading("water_temperature", 7.0, "degC")]},
    {"readings": [], "catch": catch(("mayfly", 14), ("a thing with legs", 3))},
    {"readings": [], "catch": catch()},
    {"readings": [reading("nitrate", 1, "mg/L as NO3", kit="nitrate-strip")], "kind": "field-blank"},
)
BODIES = st.builds(
    lambda content, site, day, notes: visit(site, f"2026-03-{day:02}T10:15:00-05:00", **content, **notes),
    st.sampled_from(CONTENTS),
    st.sampled_from(["reed-01", "reed-02", "fern-01"]),
    st.integers(10, 12),
    st.sampled_from([{}, {"notes": "a cold morning"}, {"team": "period-3"}]),
)
TAGS = st.sampled_from(["current", "current", "current", "stale", "any", "none"])
SELDOM = st.sampled_from([False, False, False, True])
DECISIONS = st.one_of(
    st.sampled_from([{"action": "release"}, {"action": "reject"}, {"action": "release", "revision": 1}]),
    st.builds(
        lambda position, flag: {"action": "set-flag", "reading": position, "flag": flag},
        st.integers(0, 2),
        st.integers(1, 4),
    ),
)


class NetworkMachine(RuleBasedStateMachine):
    """What may be done, and what must be seen."""

    visits = Bundle("visits")
    keys = Bundle("keys")

    def __init__(self, api: Api, known: Network, met: Counter[tuple[str, str, int]]) -> None:
        super().__init__()
        self.api, self.known, self.met = api, known, met
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
        self.met[method, address.rpartition("/")[2] if method == "POST" else "", expected] += 1
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

    @rule(stored=visits, who=CALLERS, body=BODIES, nth=st.integers(0, 3))
    def hand_in_again(self, stored: KnownVisit, who: str, body: Json, nth: int) -> None:
        """Under the same id: mostly what was sent before, at times something else."""
        key = self.key_of(who, stored.school)
        sent = body if nth == 3 else stored.bodies[nth % len(stored.bodies)]
        expected = submit_status(stored, key.who, sent)
        answer = self.send(expected, "POST", "/v1/visits", key, json=sent | {"visit_id": stored.id})
        assert answer == stored.answer or expected != 200
        self.eyes.look(stored)

    @rule(stored=visits, who=CALLERS, body=BODIES, which=TAGS, moved=SELDOM, same=SELDOM)
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

    @rule(stored=visits, who=CALLERS, which=TAGS)
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

    @rule(stored=visits, who=st.sampled_from(["coordinator"] * 4 + ["heron"]), what=DECISIONS, twice=SELDOM)
    def decide(self, stored: KnownVisit, who: str, what: Json, twice: bool) -> None:
        """Sent a second time, as when its answer was lost, it is answered as before and nothing is done."""
        key, address = self.key_of(who), f"/v1/visits/{stored.id}/decisions"
        expected = decide_status(stored, key.who, what)
        more = {
            "json": what | {"reason": "seen at the creek"},
            "headers": {"Idempotency-Key": str(uuid.UUID(int=next(self.numbers)))},
        }
        answer = self.send(expected, "POST", address, key, **more)
        if expected == 200:
            states = {"release": "released", "reject": "rejected"}
            assert answer["state"] == states.get(what["action"], stored.state)
            assert not twice or self.send(200, "POST", address, key, **more) == answer
            self.known.decided(stored, what["action"], answer, self.tag_now(stored.id, answer), key)
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
    """Hand in a visit that is released, one that is held, and two of the other school."""
    rows = api.every("/v1/keys", "coordinator")
    whose = [(row["id"], row["school"] or row["role"]) for row in rows]
    known = Network(keys=[KnownKey(key_id, who, api.keys[who]) for key_id, who in whose])
    own_ids = itertools.count(10**6)
    for site, more in (("reed-02", {}), ("reed-02", {"readings": IMPOSSIBLE}), *(("fern-01", {}),) * 2):
        body, key = visit(site, **more), known.live_keys(SCHOOL_OF[site])[-1]
        answer = api.post("/v1/visits", body | {"visit_id": str(uuid.UUID(int=next(own_ids)))}, key.token)
        known.stored(body, answer.json(), answer.headers["etag"], key)
    return known


# Whatever was drawn, each of these was met; else the machine has become too tame to show anything.
MUST_BE_MET = {
    *(("POST", "visits", status) for status in (200, 201, 401, 403, 409)),
    *(("PUT", "", status) for status in (200, 403, 404, 409, 412, 428)),
    *(("DELETE", "", status) for status in (200, 403, 404, 412)),
    *(("POST", "decisions", status) for status in (200, 403, 409, 422)),
    *(("POST", "keys", status) for status in (201, 422)),
}


def test_the_service_is_equal_to_a_plain_model_of_it(api: Api) -> None:
    known, met = a_beginning(api), Counter[tuple[str, str, int]]()
    content = read_content(api.engine)

    @seed(7)
    def start_anew() -> NetworkMachine:
        restore_content(api.engine, content)
        return NetworkMachine(api, deepcopy(known), met)

    few = settings(
        max_examples=16,
        stateful_step_count=25,
        database=None,
        deadline=None,
        suppress_health_check=list(HealthCheck),
        phases=[Phase.generate],  # a failure is told at once; Phase.shrink takes minutes
    )
    run_state_machine_as_test(start_anew, settings=few)
    assert MUST_BE_MET - set(met) == set()
