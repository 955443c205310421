"""A text file as a grid: its head row, and the rows below it."""

from collections.abc import Collection, Iterator
from contextlib import contextmanager
from pathlib import Path

from service.intake.mapping.bodies.file import FileBody
from service.intake.sheets.cell import Cell, Grid, Row, Unreadable
from service.intake.sheets.limits import MOST_CELLS, MOST_COLUMNS, MOST_ROWS
from service.intake.sheets.text.encoding import encoding_of
from service.intake.sheets.text.records import Record, open_records
from service.intake.sheets.text.separator import separator_of

EMPTY = Cell()
MOST_KEPT = 20_000
LONGEST_KEPT = 40
FEWEST_TO_KNOW_A_ROW = 4  # columns; a note of two lines may well hold a comma or two


@contextmanager
def read_text(path: Path, how: FileBody, wanted: Collection[str | int] = ()) -> Iterator[Grid]:
    """Give a text file as a grid, as long as the block lasts.

    Raises
    ------
    Unreadable
        At once, or while rows are read.
    """
    encoding = encoding_of(path, how.encoding)
    separator = separator_of(path, encoding, how, wanted)
    with open_records(path, encoding, separator) as records:
        head = _head(records, how.head_row)
        cells = _Cells()
        yield Grid(
            "", Row(head.number, cells.of(head.cells)), _rows(records, separator, len(head.cells), cells)
        )


def all_rows(records: Iterator[Record]) -> Iterator[Row]:
    """Give every row of a text file that holds something, the head row and what stands above it too."""
    cells = _Cells()
    for record in records:
        if "".join(record.cells).strip():
            yield Row(record.number, cells.of(record.cells))


class _Cells(dict[str, Cell]):
    """The cell for a text: made once for short ones, which come again and again."""

    def __missing__(self, text: str) -> Cell:
        cell = Cell(text) if text else EMPTY
        if len(self) < MOST_KEPT and len(text) <= LONGEST_KEPT:
            self[text] = cell
        return cell

    def of(self, texts: list[str]) -> tuple[Cell, ...]:
        return tuple(map(self.__getitem__, texts))


def _head(records: Iterator[Record], head_row: int) -> Record:
    for record in records:
        if record.number == head_row:
            if not "".join(record.cells).strip():
                break
            if len(record.cells) > MOST_COLUMNS:
                raise Unreadable(
                    f"Row {head_row} has {len(record.cells):,} cells; at most {MOST_COLUMNS:,} columns are "
                    "read."
                )
            return record
    raise Unreadable(
        f"Row {head_row} is to name the columns, but nothing is written there. Write the names into it, "
        "or say in the mapping which row has them (head_row)."
    )


def _rows(records: Iterator[Record], separator: str, columns: int, cells: _Cells) -> Iterator[Row]:
    count = 0
    for record in records:
        written = record.cells
        if not "".join(written).strip():
            continue
        if len(written) > columns:
            written = _without_empty_end(written, columns)
        count += len(written)
        if record.number > MOST_ROWS or count > MOST_CELLS:
            raise Unreadable(
                f"The file is too large: at most {MOST_ROWS:,} rows and {MOST_CELLS:,} cells are read. Cut "
                "it into parts."
            )
        fault = _fault(record, len(written), separator, columns)
        yield Row(
            record.number,
            tuple(Cell(text or None, fault) for text in written) if fault else cells.of(written),
        )


def _without_empty_end(written: list[str], columns: int) -> list[str]:
    used = len(written)
    while used > columns and not written[used - 1].strip():
        used -= 1
    return written[:used]


def _fault(record: Record, width: int, separator: str, columns: int) -> str:
    """Return what is wrong with a row whose cells do not fit the head row."""
    if record.last_line > record.line and (width != columns or _holds_a_row(record, separator, columns)):
        return (
            f"cannot be told: quotation marks join lines {record.line} to {record.last_line} of the file "
            f"into this row of {width} cells, and the head row names {columns}; close each mark where its "
            "cell ends"
        )
    if width > columns:
        return (
            f"cannot be told: the row has {width} cells where the head row names {columns}; put a cell "
            "that holds the separator (a decimal comma, perhaps) between quotation marks"
        )
    return ""


def _holds_a_row(record: Record, separator: str, columns: int) -> bool:
    """Tell whether a line within a cell looks like a whole row, taken in by a mark that is not its own."""
    lines = (line for cell in record.cells for line in cell.splitlines()[1:])
    return columns >= FEWEST_TO_KNOW_A_ROW and any(line.count(separator) == columns - 1 for line in lines)
