"""Pages of visits, readings and scores: rows of the query, keyed so that no row is missed or repeated."""

from collections import defaultdict
from collections.abc import Sequence
from datetime import date
from itertools import groupby
from typing import Any
from uuid import UUID

from sqlmodel import Session

from service.core.errors import BadQuery
from service.core.paging import read_cursor
from service.network.queries import (
    Rows,
    readings_after,
    readings_of,
    scores_after,
    scores_of,
    visits_after,
)
from service.network.schemas import (
    NetworkQuery,
    ReadingQuery,
    ReadingRow,
    ScoreQuery,
    ScoreRow,
    ShortReading,
    ShortScore,
    VisitQuery,
    VisitRow,
)
from service.visits.question import Question


def _after(asked: NetworkQuery, *more: type) -> Any:
    """Return the key in a cursor: local date, visit, and what else orders the list."""
    if asked.cursor is None:
        return None
    on, visit_id, *rest = read_cursor(asked.cursor, [str, str, *more])
    try:
        return (date.fromisoformat(str(on)), UUID(str(visit_id)), *rest)
    except ValueError:
        raise BadQuery("cursor: not one that this list gave; start again without it") from None


def visit_page(session: Session, question: Question, asked: VisitQuery) -> list[VisitRow]:
    """Return one visit more than a page holds, if there is one, with readings and scores in short."""
    return rows_of_visits(
        session, visits_after(session, question, asked.limit + 1, _after(asked), asked.flag)
    )


def rows_of_visits(session: Session, rows: Rows) -> list[VisitRow]:
    """Return visits with their readings and scores in short."""
    ids = [row["visit_id"] for row in rows]
    readings, scores = _by_visit(readings_of(session, ids)), _by_visit(scores_of(session, ids))
    return [
        VisitRow(
            **_numbers(row),
            readings=[_short(ShortReading, reading) for reading in readings[row["visit_id"]]],
            scores=[_short(ShortScore, score) for score in scores[row["visit_id"]]],
        )
        for row in rows
    ]


def reading_page(session: Session, question: Question, asked: ReadingQuery) -> list[ReadingRow]:
    """Return one reading more than a page holds, if there is one."""
    rows = readings_after(
        session, question, asked.limit + 1, _after(asked, int), parameter=asked.parameter, flag=asked.flag
    )
    return [ReadingRow(**_numbers(row)) for row in rows]


def score_page(session: Session, question: Question, asked: ScoreQuery) -> list[ScoreRow]:
    """Return one score more than a page holds, if there is one."""
    rows = scores_after(
        session,
        question,
        asked.limit + 1,
        _after(asked, str, int),
        index=asked.index,
        band=asked.band,
        definition=asked.definition,
    )
    return [ScoreRow(**row) for row in rows]


def visit_key(row: VisitRow) -> Sequence[str | int]:
    """Return the key of a row of visits."""
    return [row.observed_on.isoformat(), str(row.visit_id)]


def reading_key(row: ReadingRow) -> Sequence[str | int]:
    """Return the key of a row of readings."""
    return [row.observed_on.isoformat(), str(row.visit_id), row.position]


def score_key(row: ScoreRow) -> Sequence[str | int]:
    """Return the key of a row of scores."""
    return [row.observed_on.isoformat(), str(row.visit_id), row.index, row.definition]


def _by_visit(rows: Rows) -> defaultdict[UUID, list[Any]]:
    grouped: defaultdict[UUID, list[Any]] = defaultdict(list)
    for visit_id, parts in groupby(rows, key=lambda row: row["visit_id"]):
        grouped[visit_id].extend(parts)
    return grouped


def _numbers(row: Any) -> dict[str, Any]:
    return {**row, "flag": int(row["flag"])}


def _short(kind: Any, row: Any) -> Any:
    fields = {name: row[name] for name in kind.model_fields}
    return kind(**(_numbers(fields) if "flag" in fields else fields))
