"""Two real files of a college class that watched one river for six years, as their rows lie there.

The files stay where they are, beside the repository; where they are not, the tests that need them are skipped
and say so.
"""

import csv
from collections import defaultdict
from collections.abc import Callable, Iterable
from pathlib import Path

import pytest

FOLDER = Path(__file__).resolve().parents[3] / "shared" / "open-data"
READINGS_FILE = "class-meter-readings.csv"
COUNTS_FILE = "class-kick-sample-counts.csv"
ABSENT = "NA"  # the file's word for a cell that holds nothing

Row = dict[str, str]


def rows_of(name: str) -> list[Row]:
    """Return the rows of a file with every cell as text; skip the test where the file is not at hand."""
    path = FOLDER / name
    if not path.is_file():
        pytest.skip(f"the open data file {name} is not beside the repository")
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def grouped(rows: Iterable[Row], key: Callable[[Row], str]) -> dict[str, list[Row]]:
    """Return the rows by key, keys and rows in the order of the file."""
    groups: defaultdict[str, list[Row]] = defaultdict(list)
    for row in rows:
        groups[key(row)].append(row)
    return dict(groups)


def samples(rows: Iterable[Row]) -> dict[str, list[Row]]:
    """Return the rows by sample, which is one visit of the class to one spot."""
    return grouped(rows, lambda row: row["sampleID"])
