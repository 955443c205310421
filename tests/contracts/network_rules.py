"""Which status the model expects of what a caller tries, before it is tried."""

from tests.api import Json
from tests.contracts.network_model import SCHOOL_OF, KnownVisit, Network, Who, sees_into

LIVE_KEYS_OF_A_SCHOOL = 2


def submit_status(known: KnownVisit | None, who: Who, body: Json) -> int:
    """Of a visit handed in, for the first time or again under the id of a known one."""
    if not sees_into(who, SCHOOL_OF[body["site"]]):
        return 403
    if known is None:
        return 201
    return 200 if body in known.bodies and sees_into(who, known.school) else 409


def edit_status(visit: KnownVisit, who: Who, body: Json, tag: str | None) -> int:
    if refused := _not_theirs(visit, who):
        return refused
    if tag is None:
        return 428
    if body == visit.bodies[-1]:
        return 200
    if tag not in ("*", visit.tag):
        return 412
    if visit.state == "withdrawn":
        return 409
    if SCHOOL_OF[body["site"]] == visit.school:
        return 200
    return 422 if who == "coordinator" else 403


def withdraw_status(visit: KnownVisit, who: Who, tag: str | None) -> int:
    if refused := _not_theirs(visit, who):
        return refused
    stands = visit.state == "withdrawn" or tag in (None, "*", visit.tag)
    return 200 if stands else 412


def _not_theirs(visit: KnownVisit, who: Who) -> int:
    """Return how a change of another's visit is refused, 0 where it is the caller's own."""
    if sees_into(who, visit.school):
        return 0
    return 403 if who == "reader" or visit.state == "released" else 404


def decide_status(visit: KnownVisit, who: Who, decision: Json) -> int:
    if who != "coordinator":
        return 403
    if visit.state == "withdrawn" or decision.get("revision", len(visit.bodies)) != len(visit.bodies):
        return 409
    if (position := decision.get("reading")) is not None:
        readings = visit.answer["readings"]
        if position >= len(readings) or readings[position]["value"] is None:
            return 422
    return 200 if visit.would_change(decision) else 409


def make_key_status(network: Network, who: str) -> int:
    is_school = who in SCHOOL_OF.values()
    return 422 if is_school and len(network.live_keys(who)) >= LIVE_KEYS_OF_A_SCHOOL else 201
