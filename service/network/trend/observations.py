"""From stored rows to what is compared over the years: the readings or the scores of one site."""

import math
from collections.abc import Iterable, Mapping

from sqlalchemy import RowMapping

from service.network.summary.sum_up import BANDED
from service.science.kit_step import step_at
from service.science.trend.monthly_medians import Observation
from service.science.types import Kit

NOT_NOTED = "a kit that nobody noted"


def observed_readings(rows: Iterable[RowMapping], kits: Mapping[str, Kit]) -> list[Observation]:
    """Return the readings of one parameter; those of two kinds of kit are not compared."""
    return [_reading(row, kits.get(row["kit"] or "")) for row in rows]


def observed_scores(rows: Iterable[RowMapping]) -> list[Observation]:
    """Return the scores of one index that stand on enough material; a score has no kit and no step."""
    return [
        Observation(row["observed_on"], row["value"], row["value"], f"definition {row['definition']}")
        for row in rows
        if row["value"] is not None and row["standing"] in BANDED
    ]


def _reading(row: RowMapping, kit: Kit | None) -> Observation:
    if kit is not None and kit.parameter != row["parameter"]:
        kit = None  # somebody let a reading stand that names a kit for something else
    low, high = row["low"], row["high"]
    number = row["censored"] is None
    return Observation(
        on=row["observed_on"],
        low=row["value"] if number else -math.inf if low is None else low,
        high=row["value"] if number else math.inf if high is None else high,
        method=kit.kind if kit else NOT_NOTED,
        kit=kit.code if kit else None,
        step=step_at(kit, row["value"], row["unit"]) if kit else None,
    )
