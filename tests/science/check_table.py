"""Tables of check values: inputs, expected, tolerance and the source of each row."""

import csv
from pathlib import Path

FOLDER = Path(__file__).parent / "check_values"


def rows(name: str) -> list[dict[str, str]]:
    with (FOLDER / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def numbers(name: str) -> list[tuple[float, ...]]:
    """Return the rows of a table without its last column, the source, as numbers."""
    return [tuple(float(cell) for cell in list(row.values())[:-1]) for row in rows(name)]
