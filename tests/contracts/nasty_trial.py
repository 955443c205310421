"""Send nasty values in writable fields, and judge the answers."""

import json
from collections.abc import Iterable
from copy import deepcopy
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from uuid import UUID

import sqlalchemy as sa

from service.science.watershed_code import read_code
from tests.api import Api, Json
from tests.contracts.nasty_fields import Way, WritableField, place_for, value_at
from tests.contracts.nasty_routes import HELD_VISITS, ROUTES, enter
from tests.databases import read_content, restore_content

PROBLEM = "application/problem+json"
HERE = "the place of the value"
TAKEN = ("code", "visit_id", "action", "flag", "reading", "revision")  # what may be so already: 409
# What chooses the reference visits of an index is told at the sites that give too few of them, and a kind of
# decision at what does not belong to it.
TOLD_ELSEWHERE = {
    ("POST", "/v1/indices"): "/reference_sites",
    ("POST", "/v1/visits/{visit_id}/decisions"): "/reading",
}


@dataclass
class Tried:
    """What became of the values that were sent."""

    refused: int = 0
    stored: int = 0
    wrong: list[str] = field(default_factory=list)


class Trial:
    """A network in which values are tried; it is put back when much was stored in it."""

    def __init__(self, api: Api) -> None:
        enter(api)
        self.api = api
        self.tried = Tried()
        self.number = self.commits = self.stored_since = 0
        self.usual = read_content(api.engine)
        engine = api.client.app.state.engine  # type: ignore[attr-defined]
        sa.event.listen(engine, "commit", self._count)

    def _count(self, connection: sa.Connection) -> None:
        self.commits += 1

    def attempt_all(self, pairs: Iterable[tuple[WritableField, str]]) -> Tried:
        """Try each value in its field, and return what became of them."""
        for where, value in pairs:
            if wrong := self.attempt(where, value):
                self.tried.wrong.append(f"{where.text} = {value[:60]}: {wrong}")
            if self.stored_since == HELD_VISITS:
                restore_content(self.api.engine, self.usual)
                self.stored_since = 0
        return self.tried

    def attempt(self, where: WritableField, value: str) -> str:
        """Send a body with this value in this field, and say what was wrong with the answer."""
        route = ROUTES[where.method, where.path]
        self.number += 1
        body = max(route.bodies(self.number), key=lambda body: place_for(where.way, body))
        assert place_for(where.way, body), f"{where.text}: no body of nasty_routes.py has a place for it"
        address = route.address(self.stored_since)
        content = body_with(body, where.way, value)
        headers = {"Content-Type": "application/json", **dict(route.headers)}
        self.commits = 0
        answer = self.api.call(where.method, address, "coordinator", content=content, headers=headers)
        if answer.is_success:
            self.tried.stored += 1
            self.stored_since += 1
            sent = value_at(where.way, json.loads(content))
            return not_read_back(where, sent, route.read(self.api, answer.json(), address))
        self.tried.refused += 1
        if self.commits:
            return "was refused, and something was stored"
        return not_refused_well(where, content, answer)


def body_with(body: Json, way: Way, value: str) -> str:
    """Return a body as JSON with a value, as it is on the wire, in one place."""
    body = deepcopy(body)
    holder = value_at(way[:-1], body)
    if way[-1] == 0:
        holder[:] = [HERE, *holder[1:]]
    else:
        holder[way[-1]] = HERE
    return json.dumps(body).replace(json.dumps(HERE), value)


def not_refused_well(where: WritableField, content: str, answer: Any) -> str:
    """Say what is wrong with a refusal: it must be a problem that leads to the field."""
    told = f"{answer.status_code} {answer.text[:300]}"
    if answer.status_code >= 500 or answer.headers["content-type"] != PROBLEM:
        return told
    if answer.status_code == 409:
        return "" if where.way[-1] in TAKEN else told
    if answer.status_code == 400:
        return "" if not is_json(content) else told
    errors = answer.json().get("errors", [])
    return "" if any(leads_to(where, error["pointer"], error["message"]) for error in errors) else told


def is_json(content: str) -> bool:
    """Tell whether a body can be read at all."""
    try:
        json.loads(content)
    except (ValueError, RecursionError):
        return False
    return True


def leads_to(where: WritableField, pointer: str, message: str) -> bool:
    """Tell whether an error points at a field, a part of it, the object around it, or says its name."""
    if f"{pointer}/".startswith(f"{where.pointer}/"):
        return True
    if pointer.startswith(TOLD_ELSEWHERE.get((where.method, where.path), "/nowhere")):
        return True
    name = next(step for step in reversed(where.way) if isinstance(step, str))
    return name in message or (pointer != "" and f"{where.pointer}/".startswith(f"{pointer}/"))


def not_read_back(where: WritableField, sent: Any, stored: Any) -> str:
    """Say what is wrong with what is read back after a value was taken."""
    if isinstance(sent, str) and "\0" in sent:
        return "was taken, and PostgreSQL has no place for it"
    try:
        got = value_at(where.way, stored)
    except (KeyError, IndexError, TypeError):
        return "was taken, and cannot be read back"
    return "" if same(where, sent, got) else f"was taken, and is read back as {str(got)[:100]}"


def same(where: WritableField, sent: Any, got: Any) -> bool:
    """Tell whether what is read back is what was sent; left out or null, a field is as if left out."""
    if sent is None:
        return True
    if isinstance(sent, dict):
        return isinstance(got, dict) and all(
            name in got and same(where, value, got[name]) for name, value in sent.items()
        )
    if isinstance(sent, list):
        return (
            isinstance(got, list)
            and len(sent) == len(got)
            and all(same(where, one, other) for one, other in zip(sent, got, strict=True))
        )
    if where.kind == "date-time":
        return datetime.fromisoformat(sent.upper()) == datetime.fromisoformat(got)
    if where.kind == "uuid":
        return UUID(sent) == UUID(got)
    if where.way[-1] == "code" and "watershed" in where.text:
        return read_code("huc", sent).code == got
    return isinstance(sent, bool) == isinstance(got, bool) and bool(sent == got)
