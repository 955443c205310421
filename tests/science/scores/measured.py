"""Invented visits of readings alone, with the shipped criteria, for the tests of indices of the readings."""

import csv
from dataclasses import replace

from service.science.criterion import Criterion
from service.science.scores.index import Measured
from service.science.types import Reading
from tests.science.qa.visits import visit_with
from tests.science.scores.definitions import FOLDER


def _limit(cell: str) -> float | None:
    return float(cell) if cell else None


def shipped_criteria(water_class: str | None) -> tuple[Criterion, ...]:
    """Return the default criteria of a kind of water, read straight from the reference data."""
    with (FOLDER / "criteria.csv").open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["water_class"] in ("", water_class)]
    return tuple(
        Criterion(
            row["code"],
            row["name"],
            row["parameter"],
            row["unit"],
            _limit(row["at_least"]),
            _limit(row["at_most"]),
            row["source"],
            row["formula"] or None,
        )
        for row in rows
    )


def measured(
    *readings: Reading,
    water_class: str | None = "warm",
    doubted: tuple[int, ...] = (),
    elevation_m: float | None = 0.0,
    criteria: tuple[Criterion, ...] | None = None,
) -> Measured:
    """Return what an index gets of these readings; their positions are their places in the call."""
    placed = [replace(reading, position=place) for place, reading in enumerate(readings)]
    visit = visit_with(*placed, elevation_m=elevation_m)
    visit = replace(visit, site=replace(visit.site, water_class=water_class))
    return Measured(
        visit, frozenset(doubted), shipped_criteria(water_class) if criteria is None else criteria
    )
