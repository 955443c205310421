"""A file of visits as `POST /v1/visits` takes them, one to a line."""

import json
from collections.abc import Iterator, Sequence
from datetime import UTC
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from service.core.door.names_once import repeated_names
from service.intake.imports.fate import AGAIN, Fate
from service.intake.imports.problems import problems_of
from service.intake.imports.said import Said, of_the_row
from service.intake.imports.shelf.queries import ShelvedRow, WaitingVisit
from service.intake.mapping.assembled import Assembled, Origin
from service.intake.mapping.cell_problem import CellProblem
from service.intake.sheets.cell import Cell, Grid, Row, Unreadable
from service.visits.schemas import VisitBody

LONGEST_LINE_BYTES = 1_048_576  # as of a visit that is handed in alone
TOO_LONG = f"is longer than {LONGEST_LINE_BYTES} bytes; a line holds one visit"
MARK = b"\xef\xbb\xbf"  # before the first line some programs write how its letters are kept
NO_JSON = "is no JSON object on one line; check quotes, commas and brackets"
HEAD = Row(0, (Cell("visit"),))


class Lines:
    """A file of visits, one to a line; empty lines are passed over."""

    sheets: Sequence[str] = ("",)
    separator = ","

    def __init__(self, path: Path) -> None:
        self._path = path

    def rows(self) -> Iterator[ShelvedRow]:
        """Give each line, with the moment of its visit where it is one."""
        found = False
        for number, line in self._lines():
            found = True
            yield _shelved(number, line)
        if not found:
            raise Unreadable("The file is empty; send one visit a line.")

    def assemble(self, visit: WaitingVisit) -> Assembled:
        """Return the body of a line."""
        (row,) = visit.rows
        return Assembled(json.loads(row.part or ""), origins={"": Origin(row.number)})

    def apart(self, visit: WaitingVisit) -> str:
        """Return nothing: a line has only what a visit has."""
        return ""

    def grids(self) -> Iterator[Grid]:
        """Give the lines as the cells of one column."""
        cells = ((number, Cell(line.decode("utf-8", "replace"))) for number, line in self._lines())
        yield Grid("", HEAD, (Row(number, (cell,)) for number, cell in cells))

    def _lines(self) -> Iterator[tuple[int, bytes]]:
        with self._path.open("rb") as file:
            number = 0
            while line := file.readline(LONGEST_LINE_BYTES + 1):
                number += 1
                while len(line) > LONGEST_LINE_BYTES and not line.endswith(b"\n"):
                    rest = file.readline(LONGEST_LINE_BYTES)
                    line = line[:LONGEST_LINE_BYTES] + b"+"  # only its length is told
                    if not rest or rest.endswith(b"\n"):
                        break
                if line := line.removeprefix(MARK).strip():
                    yield number, line


def _shelved(number: int, line: bytes) -> ShelvedRow:
    if len(line) > LONGEST_LINE_BYTES:
        return _refused(number, [of_the_row(TOO_LONG)])
    try:
        content: Any = json.loads(line)
    except (ValueError, RecursionError):
        return _refused(number, [of_the_row(NO_JSON)])
    if not isinstance(content, dict):
        return _refused(number, [of_the_row(NO_JSON)])
    if repeated := repeated_names(line):
        return _refused(
            number, [CellProblem(pointer, "", "is given twice; give it once") for pointer in repeated]
        )
    try:
        body = VisitBody.model_validate(content)
    except ValidationError as error:
        found = problems_of(error, Assembled(content, origins={"": Origin(number)}))
        return _refused(number, [one.problem for one in found])
    instant = body.observed_at.astimezone(UTC).isoformat()
    return ShelvedRow(number, instant, f"{number:09}", line.decode())


def _refused(number: int, problems: list[CellProblem]) -> ShelvedRow:
    return ShelvedRow(number, fate=Fate.REFUSED, said=Said(problems, advice=AGAIN).as_json())
