"""Whether rows made anew say something else than the stored ones."""

from collections.abc import Sequence
from typing import Any

from sqlmodel import SQLModel

from service.visits.tables import VisitReading

BESIDE_THE_POINT = {"reference_version", "accepted", "superseded"}


def says_the_same(before: Sequence[SQLModel], again: Sequence[SQLModel]) -> bool:
    """Tell whether rows say the same by name, in any order.

    The flags of readings, what a person did and the version of the reference data are left out.
    """
    return _said(before) == _said(again)


def _said(rows: Sequence[SQLModel]) -> list[dict[str, Any]]:
    said = []
    for row in rows:
        flag = {"flag"} if isinstance(row, VisitReading) else set()
        said.append(row.model_dump(exclude=BESIDE_THE_POINT | flag))
    return sorted(said, key=_place)


def _place(row: dict[str, Any]) -> tuple[int, str, int]:
    name = row.get("check") or row.get("index") or row.get("parameter") or ""
    return row.get("position", 0), name, row.get("definition", 0)
