"""Three whole sheets with their mappings: what a class, a laboratory and a net sampler write down.

Beside each sheet stands what must become of it, written by hand from the sheet: the body of every visit with
its rows, the columns that are refused in a row, and why rows are left out.
"""

import csv
import json
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from service.intake.mapping.assemble import assemble
from service.intake.mapping.load_mapping import load_mapping
from service.intake.mapping.part import Part, VisitKey
from service.intake.mapping.read_row import ReadRow
from service.intake.mapping.read_rows import read_rows
from service.intake.sheets.cell import Cell, Grid, Row
from service.visits.schemas import VisitBody
from tests.intake.mapping.sheets import PLACES

FOLDER = Path(__file__).parent / "examples"


class Example:
    """One sheet, read."""

    def __init__(self, name: str) -> None:
        mapping = load_mapping((FOLDER / f"{name}.toml").read_text("utf-8"), "toml")
        rows = list(_rows(FOLDER / f"{name}.csv"))
        head = mapping.file.head_row
        self.expected: dict[str, Any] = json.loads((FOLDER / f"{name}.json").read_text("utf-8"))
        self.rows: list[ReadRow] = list(
            read_rows(mapping, Grid("", rows[head - 1], iter(rows[head:])), PLACES)
        )
        self.visits: defaultdict[VisitKey, list[Part]] = defaultdict(list)
        for row in self.rows:
            if row.key is not None and row.part is not None:
                self.visits[row.key].append(row.part)


def _rows(path: Path) -> Iterator[Row]:
    with path.open(encoding="utf-8", newline="") as file:
        for number, cells in enumerate(csv.reader(file), start=1):
            yield Row(number, tuple(Cell(cell or None) for cell in cells))


@pytest.fixture(scope="module", params=["wide", "long", "animals"])
def example(request: pytest.FixtureRequest) -> Example:
    return Example(request.param)


def test_each_visit_is_what_its_rows_say(example: Example) -> None:
    made = [
        {"rows": [part.row for part in parts], "body": assemble(key, parts).body}
        for key, parts in sorted(example.visits.items(), key=lambda visit: visit[1][0].row)
    ]
    assert made == example.expected["visits"]


def test_the_rules_of_visits_take_each_of_them(example: Example) -> None:
    for key, parts in example.visits.items():
        made = assemble(key, parts)
        assert made.problems == []
        for number, reading in enumerate(made.body["readings"]):
            assert made.origin(f"/readings/{number}").row in {part.row for part in parts}, reading
        VisitBody.model_validate(made.body)


def test_every_row_is_taken_refused_or_left_out(example: Example) -> None:
    refused = {
        str(row.number): [problem.column for problem in row.problems] for row in example.rows if row.problems
    }
    left_out = {str(row.number): row.left_out for row in example.rows if row.left_out}
    assert (refused, left_out) == (example.expected["refused"], example.expected["left_out"])
    assert all(bool(row.part) + bool(row.problems) + bool(row.left_out) == 1 for row in example.rows)
