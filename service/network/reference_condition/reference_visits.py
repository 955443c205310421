"""The reference visits of an index: catches of its sites for which every metric is firmly scored."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from sqlmodel import Session

from service.network.reference_condition.queries import catch_scores
from service.network.reference_condition.schemas import IndexBody
from service.science.scores.index import Definition, Standing
from service.visits.question import Question
from service.visits.tables import State

OTHER_GEAR = "another gear, or none noted"
OLDER_DEFINITION = "scored by an older definition: run `wadebook rescore`"
NOT_RATED = "a metric is missing or not rated"


@dataclass(frozen=True, slots=True)
class ReferenceVisits:
    """The visits that an index can be frozen at: their sites and, by metric, their values.

    ``left_out`` counts the visits with a catch that could not be used, by why.
    """

    sites: list[str]
    values: dict[str, list[float]]
    left_out: Mapping[str, int]


def find_reference_visits(
    session: Session, body: IndexBody, definitions: Mapping[str, Definition]
) -> ReferenceVisits:
    """Return the released routine visits of the reference sites in the months and dates of an index."""
    metrics = [metric.index for metric in body.metrics]
    question = Question(since=body.reference_from, until=body.reference_until, states=(State.RELEASED,))
    rows = catch_scores(session, question, body.reference_sites, body.months, metrics)
    sites: list[str] = []
    values: dict[str, list[float]] = {metric: [] for metric in metrics}
    left_out: Counter[str] = Counter()
    for _, of_visit in groupby(rows, key=lambda row: row["visit_id"]):
        scores = list(of_visit)
        why = _unfit(scores, body, definitions)
        if why is not None:
            left_out[why] += 1
            continue
        sites.append(scores[0]["site"])
        for row in scores:
            values[row["index"]].append(row["value"])
    return ReferenceVisits(sites, values, left_out)


def _unfit(scores: Iterable[Any], body: IndexBody, definitions: Mapping[str, Definition]) -> str | None:
    """Return why a visit is no reference visit, ``None`` when it is one."""
    rows = list(scores)
    if body.gear is not None and rows[0]["catch"]["gear"] != body.gear:
        return OTHER_GEAR
    scored = [row for row in rows if row["index"] is not None]
    if any(row["definition"] != definitions[row["index"]].number for row in scored):
        return OLDER_DEFINITION
    if len(scored) < len(body.metrics) or any(row["standing"] is not Standing.RATED for row in scored):
        return NOT_RATED
    return None
