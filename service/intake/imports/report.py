"""The report on a file: every row with its fate, straight from the shelf, so memory stays flat."""

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any, BinaryIO

from service.intake.imports.fate import Fate, what_next
from service.intake.imports.judge import ImportOrder
from service.intake.imports.places import sheet_of, split, told_plainly
from service.intake.imports.said import said_from
from service.intake.imports.shelf.queries import Shelf, ToldRow

PLAIN = {
    Fate.STORED: "stored",
    Fate.WOULD_STORE: "would be stored",
    Fate.HELD: "stored and held until the coordinator has looked",
    Fate.WOULD_HOLD: "would be held until the coordinator has looked",
    Fate.KNOWN: "stored before, exactly so",
    Fate.CHANGED: "stored before with other content, and left so",
    Fate.REVISED: "stored before, and corrected now",
    Fate.MERGED: "part of the visit of a row before",
    Fate.LEFT_OUT: "left out",
    Fate.REFUSED: "refused",
}


@dataclass(frozen=True, slots=True)
class Told:
    """What a report says of the file as a whole."""

    file: str
    sheets: Sequence[str]
    mapping: str
    order: ImportOrder
    totals: Mapping[str, int]

    @property
    def rows(self) -> int:
        """How many rows the file has."""
        return sum(self.totals.values())

    @property
    def text(self) -> str:
        """What became of it, in a sentence or two."""
        counted = [f"{self.totals[fate]} {PLAIN[fate]}" for fate in Fate if self.totals.get(fate)]
        told = f"{self.rows} rows: {'; '.join(counted) or 'nothing in them'}."
        return told + what_next(self.totals, "file", dry_run=self.order.dry_run)


def write_report(told: Told, shelf: Shelf, target: BinaryIO) -> None:
    """Write the report as JSON."""
    head = {
        "file": told.file,
        "sheets": [name for name in told.sheets if name],
        "mapping": told.mapping,
        **asdict(told.order),
        "text": told.text,
        "rows_count": told.rows,
        "totals": {fate: told.totals.get(fate, 0) for fate in Fate},
    }
    _write(target, _text(head)[:-1] + ',\n"visits": [')
    _write_all(target, (_text(_visit(outcome, told.sheets)) for outcome in shelf.outcomes()))
    _write(target, '],\n"rows": [')
    _write_all(target, (_text(_shown(row, told.sheets)) for row in shelf.rows()))
    _write(target, '],\n"complete": true}\n')


def _shown(row: ToldRow, sheets: Sequence[str]) -> dict[str, Any]:
    said = said_from(told_plainly(row.said, sheets))
    visit = json.loads(row.outcome)["visit_id"] if row.outcome else None
    return {
        "sheet": sheet_of(row.number, sheets),
        "row": split(row.number)[1],
        "fate": row.fate,
        "visit_id": visit,
        "problems": [asdict(one) for one in said.problems],
        "remarks": [asdict(one) for one in said.remarks],
        "advice": said.advice,
    }


def _visit(outcome: str, sheets: Sequence[str]) -> dict[str, Any]:
    visit: dict[str, Any] = json.loads(outcome)
    return visit | {"sheet": sheet_of(visit["row"], sheets), "row": split(visit["row"])[1]}


def _write_all(target: BinaryIO, texts: Iterable[str]) -> None:
    for text in _parted(texts):
        _write(target, text)


def _parted(texts: Iterable[str]) -> Iterator[str]:
    before = "\n"
    for text in texts:
        yield before + text
        before = ",\n"


def _text(content: Any) -> str:
    return json.dumps(content, ensure_ascii=False, separators=(",", ":"))


def _write(target: BinaryIO, text: str) -> None:
    target.write(text.encode("utf-8", "replace"))
