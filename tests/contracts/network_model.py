"""What must be there: the visits and keys of two schools in plain Python, without HTTP, SQL or checks.

What the checks make of a visit (state, flags, scores) the model takes from the answer. It knows on its own
which visits and revisions there are, what may happen to them next, who sees what, and what is news to whom.
"""

from collections import defaultdict
from dataclasses import dataclass, field

from service.visits.private_findings import TOLD
from tests.api import Json

Who = str | None  # "coordinator", "reader", the code of a school; None: the public
EVERYBODY: tuple[Who, ...] = (None, "reader", "heron", "otter", "coordinator")
SCHOOL_OF = {"reed-01": "otter", "reed-02": "heron", "fern-01": "otter"}
IN_THE_RECORD = ("held", "released")
ROW = ("visit_id", "revision", "state", "kind", "site", "school", "observed_on", "flag")
OF_THE_HOUR = ("local_time", "minutes_ahead", "twins")
READING, SCORE = (
    ("parameter", "value", "unit", "censored", "flag"),
    ("index", "definition", "value", "band", "standing"),
)


def sees_into(who: Who, school: str) -> bool:
    return who in ("coordinator", school)


def picked(row: Json, names: tuple[str, ...]) -> Json:
    return {name: row[name] for name in names}


def row_of(whole: Json) -> Json:
    """Return what a list tells of a visit, made of its whole answer, or of a row of a list itself."""
    scores = sorted(whole["scores"], key=lambda score: score["index"])
    return picked(whole, ROW) | {
        "readings": [picked(reading, READING) for reading in whole["readings"]],
        "scores": [picked(score, SCORE) for score in scores],
    }


def read_by_others(whole: Json) -> Json:
    """Return a visit as it is read by others than its own school: without what tells the hour."""
    readings = [row | {"checks": _told_to_others(row["checks"])} for row in whole["readings"]]
    checks = _told_to_others(whole["visit_checks"])
    return whole | {"private": None, "alerts": [], "readings": readings, "visit_checks": checks}


def _told_to_others(checks: list[Json]) -> list[Json]:
    found = []
    for check in checks:
        evidence = {name: value for name, value in check["evidence"].items() if name not in OF_THE_HOUR}
        is_told = check["check"] != "visit-clock" or check["message"] == ""
        less = {} if is_told else {"message": TOLD, "advice": ""}
        found.append(check | less | {"evidence": evidence})
    return found


@dataclass
class KnownVisit:
    """A visit: every body that was handed in, and its newest answer as its own school reads it."""

    bodies: list[Json]
    answer: Json
    tag: str
    published: bool = False
    old_tags: list[str] = field(default_factory=list)

    @property
    def id(self) -> str:
        return str(self.answer["visit_id"])

    @property
    def school(self) -> str:
        return str(self.answer["school"])

    @property
    def state(self) -> str:
        return str(self.answer["state"])

    def shown_to(self, who: Who) -> Json | None:
        if sees_into(who, self.school):
            return self.answer
        return read_by_others(self.answer) if self.state == "released" else None

    def judged(self) -> list[tuple[int, bool]]:
        """Return of each reading its flag, and whether a person let it stand."""
        return [(row["flag"], row["accepted"]) for row in self.answer["readings"]]

    def judged_after(self, decision: Json) -> list[tuple[int, bool]]:
        """Return the same as a decision would make it."""
        if decision["action"] == "set-flag":
            after = self.judged()
            after[decision["reading"]] = (decision["flag"], False)
            return after
        return [(flag, decision["action"] == "release" and flag == 3) for flag, _ in self.judged()]

    def state_after(self, decision: Json) -> str:
        return {"release": "released", "reject": "rejected"}.get(decision["action"], self.state)

    def would_change(self, decision: Json) -> bool:
        before = self.state, self.judged()
        return before != (self.state_after(decision), self.judged_after(decision))


@dataclass
class KnownKey:
    id: str
    who: str
    token: str
    revoked: bool = False


@dataclass
class Network:
    """All that is known, and for each reader of the feed what it was not told yet."""

    visits: dict[str, KnownVisit] = field(default_factory=dict)
    keys: list[KnownKey] = field(default_factory=list)
    trail: list[tuple[str, str, str, str, str]] = field(default_factory=list)
    news: dict[Who, list[str]] = field(default_factory=lambda: defaultdict(list))

    def live_keys(self, who: str) -> list[KnownKey]:
        return [key for key in self.keys if key.who == who and not key.revoked]

    def listed(self, who: Who, state: str | None = None, kind: str = "routine", site: str = "") -> list[Json]:
        """Return the rows of the list that one caller gets."""
        states = IN_THE_RECORD if state is None else (state,)
        rows = [
            row_of(shown)
            for visit in self.visits.values()
            if (shown := visit.shown_to(who)) and shown["state"] in states
        ]
        asked = [row for row in rows if row["kind"] == kind and site in ("", row["site"])]
        return sorted(asked, key=lambda row: (row["observed_on"], row["visit_id"]))

    def told(self, who: Who) -> dict[str, Json | None]:
        """Return what is new to one who follows the feed; ``None`` where a visit is gone from his sight."""
        found: dict[str, Json | None] = {}
        for visit_id in self.news.pop(who, []):
            visit = self.visits[visit_id]
            shown = visit.shown_to(who)
            if sees_into(who, visit.school) or visit.published:
                found[visit_id] = row_of(shown) if shown and visit.state in IN_THE_RECORD else None
        return found

    def stored(self, body: Json, answer: Json, tag: str, key: KnownKey) -> KnownVisit:
        visit = KnownVisit([body], answer, tag)
        self.visits[visit.id] = visit
        self._note(visit, key, "made", "")
        return visit

    def revised(self, visit: KnownVisit, body: Json, answer: Json, tag: str, key: KnownKey) -> None:
        visit.bodies.append(body)
        self._changed(visit, answer, tag)
        self._note(visit, key, "changed", f"revision {len(visit.bodies)}")

    def withdrawn(self, visit: KnownVisit, answer: Json, tag: str, key: KnownKey) -> None:
        self._changed(visit, answer, tag)
        self._note(visit, key, "withdrawn", "")

    def decided(self, visit: KnownVisit, action: str, answer: Json, tag: str, key: KnownKey) -> None:
        self._changed(visit, answer, tag)
        self._note(visit, key, "decided", action)

    def _changed(self, visit: KnownVisit, answer: Json, tag: str) -> None:
        visit.old_tags.append(visit.tag)
        visit.answer, visit.tag = answer, tag

    def _note(self, visit: KnownVisit, key: KnownKey, action: str, what: str) -> None:
        visit.published = visit.published or visit.state == "released"
        self.trail.append(("visit", visit.id, action, what, key.id))
        for who in EVERYBODY:
            self.news[who].append(visit.id)
