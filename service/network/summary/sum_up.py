"""What the visits of a watershed say together: counts, medians that honour censoring, scores by band."""

import math
from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from typing import Any

from sqlmodel import Session

from service.network.objectives.queries import sites_inside
from service.network.queries import Rows
from service.network.schemas import ParameterSummary, Quantile, ScoreSummary, WatershedSummary
from service.network.summary.parts import coverage_of, criteria_of
from service.network.summary.queries import (
    days_of_visits,
    scores_by_band,
    values_by_parameter,
    visits_by_state,
)
from service.science.censored_median import Interval, median_interval, percent_detected, quantile_interval
from service.science.scores.index import Standing
from service.science.watershed_code import WatershedCode, levels
from service.sites.queries import sites_by_watershed, watershed_by_code
from service.visits.question import Question
from service.visits.tables import State

Row = dict[str, Any]
BANDED = (Standing.RATED, Standing.PROVISIONAL)


def watershed_summary(
    session: Session, watershed: WatershedCode, question: Question, ranking: str
) -> WatershedSummary:
    """Return the summary of one watershed for the visits of a question; ``ranking`` is the ranking's address.

    Held visits are counted for those who may see them; medians and scores are of released visits only, so
    that everybody reads the same numbers.
    """
    released = replace(question, states=(State.RELEASED,))
    known = watershed_by_code(session, watershed)
    states = visits_by_state(session, question)
    rows = values_by_parameter(session, released)
    seen = [day for *_, first, last in states for day in (first, last)]
    first, last = question.since or min(seen, default=date.min), question.until or max(seen, default=date.min)
    sites = [
        (code, count) for scheme, code, count in sites_by_watershed(session) if scheme == watershed.scheme
    ]
    wider = set(levels(watershed)[:-1])
    inside = sum(count for code, count in sites if code.startswith(watershed.code))
    places = {site.code: site for site in sites_inside(session, watershed)}
    return WatershedSummary(
        scheme=watershed.scheme,
        code=watershed.code,
        name=known.name if known else None,
        first_date=min(seen, default=None),
        last_date=max(seen, default=None),
        visits={state.value: visits for state, visits, *_ in states},
        sites_with_visits=max((row[2] for row in states), default=0),
        sites=inside,
        sites_undetermined=sum(count for code, count in sites if code in wider),
        coverage=coverage_of(days_of_visits(session, released), inside, first, last) if seen else None,
        parameters=_parameters(rows),
        criteria=criteria_of(session, places, rows, first, last) if seen else [],
        scores=_scores(scores_by_band(session, released)),
        ranking=ranking,
    )


def _interval(row: Row) -> Interval:
    """Return what a reading adds to a median: itself, or the open side of its limit."""
    if row["censored"] is None:
        return row["value"], row["value"]
    low, high = row["low"], row["high"]
    return (-math.inf if low is None else low), (math.inf if high is None else high)


def _parameters(rows: Rows) -> list[ParameterSummary]:
    grouped: defaultdict[tuple[str, str], list[Row]] = defaultdict(list)
    for row in rows:
        grouped[row["parameter"], row["unit"]].append(row)
    return [_parameter(*key, readings) for key, readings in sorted(grouped.items())]


def _parameter(parameter: str, unit: str, readings: Rows) -> ParameterSummary:
    intervals = [_interval(row) for row in readings]
    return ParameterSummary(
        parameter=parameter,
        unit=unit,
        readings=len(readings),
        detected_percent=round(percent_detected(row["censored"] for row in readings), 1),
        lower_quartile=_quantile(quantile_interval(intervals, 0.25), unit),
        median=_quantile(median_interval(intervals), unit),
        upper_quartile=_quantile(quantile_interval(intervals, 0.75), unit),
    )


def _quantile(bounds: Interval, unit: str) -> Quantile:
    low, high = (None if math.isinf(bound) else bound for bound in bounds)
    if low is not None and low == high:
        text = f"{low:.4g} {unit}"
    elif high is None:
        text = f"at least {low:.4g} {unit}" if low is not None else "not known"
    elif low is None or low == 0:
        text = f"at most {high:.4g} {unit}"
    else:
        text = f"between {low:.4g} and {high:.4g} {unit}"
    return Quantile(low=low, high=high, text=text)


def _scores(rows: Iterable[Any]) -> list[ScoreSummary]:
    standings: defaultdict[tuple[str, int], Counter[str]] = defaultdict(Counter)
    bands: defaultdict[tuple[str, int], Counter[str]] = defaultdict(Counter)
    for index, definition, standing, band, count in rows:
        standings[index, definition][standing.value] += count
        if band is not None and standing in BANDED:
            bands[index, definition][band] += count
    return [
        ScoreSummary(index=index, definition=definition, standings=found, bands=bands[index, definition])
        for (index, definition), found in standings.items()
    ]
