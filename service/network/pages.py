"""The lists of visits, readings and scores: rows of the query as the one who asks may see them."""

import json
from typing import Any
from uuid import UUID

from sqlmodel import Session

from service.network.columns import READINGS, SCORES, VISITS
from service.network.listing import Fields, Key, Listing
from service.network.queries import (
    Rows,
    number_of_readings,
    number_of_scores,
    number_of_visits,
    readings_after,
    readings_of,
    scores_after,
    scores_of,
    visits_after,
)
from service.network.schemas import (
    ReadingChoice,
    ScoreChoice,
    VisitChoice,
    VisitRow,
)
from service.sites.show_site import rounded_place
from service.visits.question import Question

PARTED_BY = "; "


def rows_of_visits(session: Session, question: Question, rows: Rows) -> list[VisitRow]:
    """Return visits with their readings and scores in short."""
    return [VisitRow(**fields) for fields in _with_parts(session, question, rows)]


def _visit_rows(
    session: Session, question: Question, choice: VisitChoice, limit: int, after: Key | None
) -> list[Fields]:
    return _with_parts(session, question, visits_after(session, question, limit, after, choice.flag))


def _reading_rows(
    session: Session, question: Question, choice: ReadingChoice, limit: int, after: Key | None
) -> list[Fields]:
    rows = readings_after(session, question, limit, after, parameter=choice.parameter, flag=choice.flag)
    return _shown(rows, question)


def _score_rows(
    session: Session, question: Question, choice: ScoreChoice, limit: int, after: Key | None
) -> list[Fields]:
    wanted = _of_scores(choice)
    return _shown(scores_after(session, question, limit, after, **wanted), question)


def _of_scores(choice: ScoreChoice) -> dict[str, Any]:
    return {"index": choice.index, "band": choice.band, "definition": choice.definition}


def _shown(rows: Rows, question: Question) -> list[Fields]:
    """Return rows with the visit's id as text and a place as exact as the one who asks may see it."""
    ids = {written: str(UUID(str(written))) for written in {row["visit_id"] for row in rows}}
    for row in rows:
        row["visit_id"] = ids[row["visit_id"]]
        decimals = row.pop("public_decimals")
        if not question.sees_school(row["school"]):
            row["latitude"] = rounded_place(row["latitude"], decimals)
            row["longitude"] = rounded_place(row["longitude"], decimals)
    return rows


def _with_parts(session: Session, question: Question, rows: Rows) -> list[Fields]:
    ids = [UUID(row["visit_id"]) for row in _shown(rows, question)]
    readings, scores = readings_of(session, ids), scores_of(session, ids)
    for visit_id, row in zip(ids, rows, strict=True):
        row["readings"], row["scores"] = readings.get(visit_id, []), scores.get(visit_id, [])
    return rows


def _flat_visit(row: Fields) -> Fields:
    counts = {name: len(row[name]) for name in ("readings", "scores")}
    return row | counts


def _flat_score(row: Fields) -> Fields:
    return row | {
        "bands": json.dumps(row["bands"], ensure_ascii=False, sort_keys=True),
        "reasons": PARTED_BY.join(row["reasons"]) or None,
        "inputs": PARTED_BY.join(row["inputs"]),
    }


VISIT_LIST = Listing(
    table=VISITS,
    then=(),
    rows=_visit_rows,
    number=lambda session, question, choice, at_most: number_of_visits(
        session, question, choice.flag, at_most
    ),
    flat=_flat_visit,
)
READING_LIST = Listing(
    table=READINGS,
    then=(("position", int),),
    rows=_reading_rows,
    number=lambda session, question, choice, at_most: number_of_readings(
        session, question, parameter=choice.parameter, flag=choice.flag, at_most=at_most
    ),
    flat=lambda row: row,
)
SCORE_LIST = Listing(
    table=SCORES,
    then=(("index", str), ("definition", int)),
    rows=_score_rows,
    number=lambda session, question, choice, at_most: number_of_scores(
        session, question, at_most=at_most, **_of_scores(choice)
    ),
    flat=_flat_score,
)
