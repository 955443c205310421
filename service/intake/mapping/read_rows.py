"""From a sheet to its rows as a mapping reads them."""

from collections.abc import Iterator

from service.intake.mapping.read_row import ReadRow, RowReader
from service.intake.mapping.readers.head import Bound, Head
from service.intake.mapping.schemas import Mapping
from service.intake.mapping.sites import Places
from service.intake.sheets.cell import Grid, Row


def read_rows(mapping: Mapping, grid: Grid, places: Places) -> Iterator[ReadRow]:
    """Return the rows of a sheet, each read when it is asked for.

    Parameters
    ----------
    mapping : which column is what
    grid : the sheet
    places : the sites that may be written to: code -> (name, time zone)

    Raises
    ------
    Unreadable
        At once, before any row: the mapping names columns that the sheet has not, or one site for
        all rows that there is not.
    """
    head = Head(grid.head)
    reader = RowReader(mapping, head, places, is_text=not grid.sheet)
    head.require_all()
    reader.require_site()
    return map(reader.read, grid.rows)


def named_columns(mapping: Mapping) -> list[str | int]:
    """Return every column that a mapping names, in the order in which it is read."""
    head = _AnyHead()
    RowReader(mapping, head, {}, is_text=True)
    return list(dict.fromkeys(head.asked))


class _AnyHead(Head):
    """A head row that has every column, and keeps what it was asked for."""

    def __init__(self) -> None:
        super().__init__(Row(1, ()))
        self.asked: list[str | int] = []

    def find(self, column: str | int) -> Bound:
        self.asked.append(column)
        return Bound(0, "")
