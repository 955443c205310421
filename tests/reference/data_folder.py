"""A copy of the reference data that a test may spoil, and what the loader then says of it."""

import csv
from collections.abc import Callable
from pathlib import Path

import pytest

from service.reference.errors import ReferenceDataError
from service.reference.load import load_catalogue

Rows = list[dict[str, str]]


def change(folder: Path, file: str, edit: Callable[[Rows], Rows]) -> None:
    with (folder / file).open(encoding="utf-8", newline="") as handle:
        reader = csv.DictReader(handle)
        header, rows = list(reader.fieldnames or ()), list(reader)
    with (folder / file).open("w", encoding="utf-8", newline="") as handle:
        writer = csv.DictWriter(handle, header, lineterminator="\n")
        writer.writeheader()
        writer.writerows(edit(rows))


def matches(row: dict[str, str], where: dict[str, str]) -> bool:
    return all(row[column] == value for column, value in where.items())


def set_cells(where: dict[str, str], cells: dict[str, str]) -> Callable[[Rows], Rows]:
    def edit(rows: Rows) -> Rows:
        hit = [row for row in rows if matches(row, where)]
        assert hit, f"the test names a row that is gone: {where}"
        hit[0].update(cells)
        return rows

    return edit


def faults(folder: Path) -> list[str]:
    with pytest.raises(ReferenceDataError) as caught:
        load_catalogue(folder)
    return [str(breach) for breach in caught.value.breaches]
