"""The coordinator's work list: held visits, the worst first, each with all that a decision needs.

What a page needs is asked once for the whole page, never once a visit or a reading.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace
from datetime import date, datetime
from typing import Any, TypeVar
from uuid import UUID

from pydantic import TypeAdapter
from sqlmodel import Session

from service.core.errors import BadQuery
from service.core.paging import read_cursor
from service.core.schema import Instant
from service.review.answers import ReviewItem
from service.review.queries import (
    HeldVisit,
    alerts_of,
    decisions_of,
    doubts_of,
    held_after,
    neighbour_readings,
    readings_of,
    site_history,
)
from service.review.show_item import Doubted, Held, shown_item
from service.schools.caller import Caller
from service.science.flags import DOUBTED
from service.science.watershed_code import WatershedCode, neighbourhood
from service.sites.keep_kit import find_kits
from service.sites.tables import Site
from service.visits.background import SAME_WEEK_DAYS
from service.visits.question import Question
from service.visits.tables import State, VisitFinding, VisitReading

NEWEST_OF_SITE = 12
SEVERITIES = range(3)
INSTANT: TypeAdapter[datetime] = TypeAdapter(Instant)
Part = TypeVar("Part")


def held_visits(session: Session, question: Question, cursor: str | None, limit: int) -> Sequence[HeldVisit]:
    """Return the held visits of a question, of every kind, beginning after a cursor."""
    after = _key_in(cursor) if cursor is not None else None
    return held_after(session, replace(question, states=(State.HELD,), kind=None), limit, after)


def held_key(held: HeldVisit) -> list[str | int]:
    """Return what orders the work list."""
    visit, revision, _site, severity, quiet = held
    return [severity, quiet, revision.received_at.isoformat(), str(visit.id)]


def _key_in(cursor: str) -> tuple[Any, ...]:
    severity, quiet, received_at, visit_id = read_cursor(cursor, [int, int, str, str])
    try:
        if severity not in SEVERITIES or quiet not in SEVERITIES:
            raise ValueError("no row has this place")
        return severity, quiet, INSTANT.validate_python(received_at), UUID(str(visit_id))
    except ValueError:
        raise BadQuery("cursor: not one that this list gave; start again without it") from None


def review_items(
    session: Session, page: Sequence[HeldVisit], caller: Caller, who_to_call: str
) -> list[ReviewItem]:
    """Return the held visits of a page as the coordinator decides on them."""
    ids = [visit.id for visit, *_ in page]
    readings = _by(readings_of(session, ids), lambda row: row.visit_id)
    doubts = _by(doubts_of(session, ids), lambda row: row.visit_id)
    alerts = _by(alerts_of(session, ids), lambda row: row.visit_id)
    decisions = _by(decisions_of(session, ids), lambda row: row.visit_id)
    doubted = {visit_id: _doubted(readings[visit_id], doubts[visit_id]) for visit_id in ids}
    wanted = {(visit_id, row.parameter) for visit_id in ids for row in doubted[visit_id]}
    past = _by(site_history(session, wanted, NEWEST_OF_SITE), lambda row: (row["visit_id"], row["parameter"]))
    near = _neighbours(session, page, {parameter for _, parameter in wanted})
    kits = find_kits(session, {row.kit for rows in doubted.values() for row in rows if row.kit})
    items = []
    for visit, revision, site, *_ in page:
        shown = [
            Doubted(
                row=row,
                kit=kits.get(row.kit or ""),
                findings=[found for found in doubts[visit.id] if found.position == row.position],
                history=past[visit.id, row.parameter],
                neighbours=[found for found in near[visit.id] if found["parameter"] == row.parameter],
            )
            for row in doubted[visit.id]
        ]
        held = Held(
            visit, revision, site, readings[visit.id], doubts[visit.id], alerts[visit.id], decisions[visit.id]
        )
        items.append(shown_item(held, shown, caller, who_to_call))
    return items


def _by(rows: Iterable[Part], key: Any) -> defaultdict[Any, list[Part]]:
    grouped: defaultdict[Any, list[Part]] = defaultdict(list)
    for row in rows:
        grouped[key(row)].append(row)
    return grouped


def _doubted(readings: Sequence[VisitReading], doubts: Sequence[VisitFinding]) -> list[VisitReading]:
    """Keep the readings that a check or a person doubts."""
    positions = {found.position for found in doubts}
    return [row for row in readings if row.position in positions or row.flag in DOUBTED]


def _neighbours(session: Session, page: Sequence[HeldVisit], parameters: Collection[str]) -> dict[UUID, Any]:
    """Return for each visit what its neighbours read in the same week."""
    around = {
        visit.id: (within, site.code, visit.observed_on)
        for visit, _, site, *_ in page
        if (within := _neighbourhood(site)) is not None
    }
    rows = neighbour_readings(session, set(around.values()), parameters, SAME_WEEK_DAYS)
    return {
        visit.id: [row for row in rows if visit.id in around and _is_near(row, *around[visit.id])]
        for visit, *_ in page
    }


def _neighbourhood(site: Site) -> WatershedCode | None:
    if site.watershed_scheme is None or site.watershed_code is None:
        return None
    return neighbourhood(WatershedCode(site.watershed_scheme, site.watershed_code))


def _is_near(row: Any, within: WatershedCode, site: str, on: date) -> bool:
    return bool(
        row["site"] != site
        and row["watershed_scheme"] == within.scheme
        and row["watershed_code"].startswith(within.code)
        and abs((row["observed_on"] - on).days) <= SAME_WEEK_DAYS
    )
