"""SQL of the map layers: sites, readings and scores with a place, as everybody may see them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

import sqlalchemy as sa
from sqlmodel import Session, col

from service.network.queries import READING_COLUMNS, SCORE_COLUMNS, STANDING_SCORE
from service.science.types import VisitKind
from service.sites.box import Box
from service.sites.queries import inside, shown_inside
from service.sites.tables import Site
from service.visits.queries import asked, current
from service.visits.question import Question
from service.visits.tables import State, Visit, VisitReading, VisitScore

Rows = Sequence[sa.RowMapping]

SITE: Any = col(Site.code).label("site")
PLACE: tuple[Any, ...] = (col(Site.latitude), col(Site.longitude), col(Site.public_decimals))
OF_A_SITE: tuple[Any, ...] = (
    SITE,
    *PLACE,
    col(Site.stream),
    col(Site.stream_km),
    col(Site.watershed_scheme),
    col(Site.watershed_code),
    col(Site.time_zone),
)
OF_A_VISIT: tuple[Any, ...] = (
    *OF_A_SITE,
    col(Visit.id).label("visit_id"),
    col(Visit.school),
    col(Visit.observed_on),
)
HAS_A_PLACE = col(Site.latitude).is_not(None)
SEEN_BY_ALL = (col(Visit.state) == State.RELEASED, col(Visit.kind) == VisitKind.ROUTINE)


@dataclass(frozen=True, slots=True)
class Found:
    """What is asked for, and the columns that order it, by the name that each has in a row."""

    rows: sa.Select[Any]
    order: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Cut:
    """Which rows of an order: at most ``limit`` after a key, or after the first ``skipped`` ones."""

    limit: int
    after: Sequence[Any] | None = None
    skipped: int = 0


def sites_found(question: Question, box: Box | None) -> Found:
    """Return the sites that meet a question; those that were visited within its dates, or never."""
    first, last = _end_of_visits(col(Visit.observed_on)), _end_of_visits(col(Visit.observed_on).desc())
    more = (
        col(Site.name),
        col(Site.school),
        col(Site.elevation_m),
        col(Site.water_class),
        col(Site.established_on),
        first.label("first_visit_on"),
        last.label("last_visit_on"),
    )
    exact: tuple[tuple[Any, Any], ...] = (
        (Site.code, question.site),
        (Site.stream, question.stream),
        (Site.school, question.school),
    )
    conditions = [col(column) == wanted for column, wanted in exact if wanted is not None]
    if question.watershed is not None:
        conditions.append(inside(question.watershed))
    if question.since is not None:
        conditions.append(sa.or_(last >= question.since, last.is_(None)))
    if question.until is not None:
        conditions.append(sa.or_(first <= question.until, first.is_(None)))
    found = sa.select(*OF_A_SITE, *more).where(*conditions)
    return Found(_boxed(found, box), {"site": col(Site.code)})


def readings_found(
    question: Question,
    box: Box | None,
    *,
    parameter: str | None = None,
    flag: int | None = None,
) -> Found:
    """Return the measured readings that meet a question."""
    found = sa.select(*OF_A_VISIT, *READING_COLUMNS).join(Site).join(VisitReading, current(VisitReading))
    found = found.where(*asked(question), col(VisitReading.value).is_not(None))
    exact: tuple[tuple[Any, Any], ...] = ((VisitReading.parameter, parameter), (VisitReading.flag, flag))
    found = found.where(*(col(column) == wanted for column, wanted in exact if wanted is not None))
    return Found(_boxed(found, box), _BY_DATE | {"position": col(VisitReading.position)})


def scores_found(
    question: Question, box: Box | None, *, index: str | None = None, band: str | None = None
) -> Found:
    """Return the scores with a value, by the newest definition of their index, that meet a question."""
    found = sa.select(*OF_A_VISIT, *SCORE_COLUMNS).join(Site).join(VisitScore, current(VisitScore))
    found = found.where(*asked(question), STANDING_SCORE, col(VisitScore.value).is_not(None))
    exact: tuple[tuple[Any, Any], ...] = ((VisitScore.index, index), (VisitScore.band, band))
    found = found.where(*(col(column) == wanted for column, wanted in exact if wanted is not None))
    return Found(_boxed(found, box), _BY_DATE | {"index": col(VisitScore.index)})


_BY_DATE: dict[str, Any] = {"observed_on": col(Visit.observed_on), "visit_id": col(Visit.id)}


def part_of(session: Session, found: Found, cut: Cut, *, placed: bool) -> Rows:
    """Return a part of what was found: of that with a place, or of that without one."""
    order = tuple(found.order.values())
    rows = found.rows.where(HAS_A_PLACE if placed else ~HAS_A_PLACE).order_by(*order)
    if cut.after is not None:
        rows = rows.where(sa.tuple_(*order) > sa.tuple_(*cut.after))
    return session.execute(rows.limit(cut.limit).offset(cut.skipped)).mappings().all()


def one_of(session: Session, found: Found, key: Mapping[str, Any]) -> sa.RowMapping | None:
    """Return the row with these values in the columns that order it, or ``None``."""
    same = (found.order[name] == value for name, value in key.items())
    return session.execute(found.rows.where(*same)).mappings().first()


def number_with_a_place(session: Session, found: Found) -> int:
    """Return how many of what was found have a place."""
    return _count(session, found.rows.where(HAS_A_PLACE))


def number_up_to(session: Session, found: Found, most: int) -> int:
    """Return how many were found; not more than ``most`` are counted."""
    return _count(session, found.rows.limit(most))


def places(session: Session) -> Rows:
    """Return code, place and public decimals of every site that has a place."""
    return session.execute(sa.select(SITE, *PLACE).where(HAS_A_PLACE)).mappings().all()


def days_of_visits(session: Session) -> tuple[date, date] | None:
    """Return the first and the last local date with a visit that everybody may see, or ``None``."""
    on = col(Visit.observed_on)
    first, last = (
        session.execute(sa.select(on).where(*SEEN_BY_ALL).order_by(order).limit(1)).scalar()
        for order in (on, on.desc())
    )
    return None if first is None or last is None else (first, last)


def _end_of_visits(order: Any) -> sa.ScalarSelect[Any]:
    visits = sa.select(col(Visit.observed_on)).where(col(Visit.site) == col(Site.code), *SEEN_BY_ALL)
    return visits.order_by(order).limit(1).scalar_subquery()


def _boxed(found: sa.Select[Any], box: Box | None) -> sa.Select[Any]:
    # What has no place lies in every box.
    return found if box is None else found.where(sa.or_(~HAS_A_PLACE, shown_inside(box, None)))


def _count(session: Session, rows: sa.Select[Any]) -> int:
    counted = rows.with_only_columns(sa.literal(1).label("one"), maintain_column_froms=True).subquery()
    return int(session.execute(sa.select(sa.func.count()).select_from(counted)).scalar_one())
