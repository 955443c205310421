"""What one row adds to a visit, and which visit that is."""

import json
from collections.abc import Mapping
from dataclasses import astuple, dataclass, field
from typing import Any, NamedTuple


@dataclass(frozen=True, slots=True, order=True)
class VisitKey:
    """Which visit a row belongs to. Keys are in order of time.

    ``instant`` is in UTC (``2026-03-12T15:15:00Z``), ``offset`` that of the clock (``-05:00``); ``team`` is
    empty where none is named; ``apart`` holds what tells visits of one site and moment apart.
    """

    instant: str
    site: str
    offset: str
    team: str = ""
    kind: str = "routine"
    apart: tuple[str, ...] = ()

    def as_json(self) -> str:
        """Return the key as a text that sorts as keys do, and that only this key has."""
        return json.dumps(astuple(self), ensure_ascii=False, separators=(",", ":"))

    @staticmethod
    def from_json(text: str) -> "VisitKey":
        """Return the key of a text that `as_json` gave."""
        instant, site, offset, team, kind, apart = json.loads(text)
        return VisitKey(instant, site, offset, team, kind, tuple(apart))


class Sent(NamedTuple):
    """A piece of the body to be handed in, and the column it came from (empty: from no column)."""

    content: Any
    column: str


@dataclass(frozen=True, slots=True)
class Part:
    """What one row adds to a visit.

    ``readings`` and ``counts`` hold lines of the body in order; ``catch`` and ``conditions`` single facts by
    name. ``catch`` is ``None`` where the row says nothing of animals. ``assumed_time`` is the time of day
    that was taken where none was noted. ``heads`` names the columns of site, time, team and kind.
    """

    row: int
    readings: tuple[Sent, ...] = ()
    counts: tuple[Sent, ...] = ()
    catch: Mapping[str, Sent] | None = None
    conditions: Mapping[str, Sent] = field(default_factory=dict)
    notes: tuple[Sent, ...] = ()
    assumed_time: str = ""
    heads: Mapping[str, str] = field(default_factory=dict)

    @property
    def is_empty(self) -> bool:
        """Whether the row adds nothing at all."""
        return not (self.readings or self.counts or self.catch is not None or self.conditions or self.notes)

    def as_json(self) -> str:
        """Return the part as a text."""
        content = [
            self.row,
            self.readings,
            self.counts,
            self.catch,
            self.conditions,
            self.notes,
            self.assumed_time,
            self.heads,
        ]
        return json.dumps(content, ensure_ascii=False, separators=(",", ":"))

    @staticmethod
    def from_json(text: str) -> "Part":
        """Return the part of a text that `as_json` gave."""
        row, readings, counts, catch, conditions, notes, assumed_time, heads = json.loads(text)
        return Part(
            row=row,
            readings=_lines(readings),
            counts=_lines(counts),
            catch=None if catch is None else _facts(catch),
            conditions=_facts(conditions),
            notes=_lines(notes),
            assumed_time=assumed_time,
            heads=heads,
        )


def _lines(pairs: list[list[Any]]) -> tuple[Sent, ...]:
    return tuple(Sent(content, column) for content, column in pairs)


def _facts(pairs: Mapping[str, list[Any]]) -> dict[str, Sent]:
    return {name: Sent(content, column) for name, (content, column) in pairs.items()}
