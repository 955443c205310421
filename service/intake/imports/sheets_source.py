"""Sheets whose columns mappings name: one of somebody's file, or the two of the network's own template."""

from collections.abc import Iterator, Sequence
from pathlib import Path

from service.intake.imports.fate import AGAIN, Fate
from service.intake.imports.places import SPAN
from service.intake.imports.said import Said, of_the_row
from service.intake.imports.shelf.queries import ShelvedRow, WaitingVisit
from service.intake.mapping.assemble import assemble
from service.intake.mapping.assembled import Assembled
from service.intake.mapping.part import Part, VisitKey
from service.intake.mapping.read_row import ReadRow
from service.intake.mapping.read_rows import named_columns, read_rows
from service.intake.mapping.schemas import Mapping, Separator
from service.intake.mapping.sites import Places
from service.intake.sheets.cell import Grid, Row
from service.intake.sheets.read_file import read_file

SIGNS = {Separator.COMMA: ",", Separator.SEMICOLON: ";", Separator.TAB: "\t"}


class Sheets:
    """A file with a mapping for each of its sheets that is read, and the sites that it may speak of."""

    def __init__(self, path: Path, mappings: Sequence[Mapping], places: Places) -> None:
        self.sheets: list[str] = []
        self._path = path
        self._mappings = mappings
        self._places = places

    @property
    def separator(self) -> str:
        """What parts the columns, as the mapping says; a comma where it leaves that open."""
        said = self._mappings[0].file.separator
        return SIGNS[said] if said else ","

    def rows(self) -> Iterator[ShelvedRow]:
        """Give each row as its mapping reads it."""
        for mapping, grid in zip(self._mappings, self.grids(), strict=True):
            self.sheets.append(grid.sheet)
            yield from map(_shelved, read_rows(mapping, grid, self._places))

    def assemble(self, visit: WaitingVisit) -> Assembled:
        """Return the body that the rows of a visit make."""
        parts = [Part.from_json(row.part) for row in visit.rows if row.part is not None]
        return assemble(VisitKey.from_json(visit.mark), parts)

    def apart(self, visit: WaitingVisit) -> str:
        """Return what the mapping names to tell visits apart."""
        return "|".join(VisitKey.from_json(visit.mark).apart)

    def grids(self) -> Iterator[Grid]:
        """Give each sheet as it was sent, to be used up before the next."""
        for index, mapping in enumerate(self._mappings):
            with read_file(self._path, mapping.file, named_columns(mapping)) as grid:
                rows = (Row(row.number + index * SPAN, row.cells) for row in grid.rows)
                yield Grid(grid.sheet, grid.head, rows)


def _shelved(row: ReadRow) -> ShelvedRow:
    fate, advice, remarks = None, "", row.remarks
    if row.left_out:
        fate, remarks = Fate.LEFT_OUT, (of_the_row(row.left_out), *remarks)
    elif row.problems:
        fate, advice = Fate.REFUSED, AGAIN
    said = Said(row.problems, remarks, advice).as_json() if row.problems or remarks else ""
    instant = row.key.instant if row.key else ""
    mark = row.key.as_json() if row.key else None
    part = row.part.as_json() if row.part else None
    return ShelvedRow(row.number, instant, mark, part, fate, said)
