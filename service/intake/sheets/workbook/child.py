"""A process of its own that reads one workbook, with little memory and time, and tells what is in it.

The workbook is its standard input, its standard output goes to the service. It is given no address, no
password and no file name, and can make no file.
"""

import json
import resource
import sys
from collections.abc import Iterator
from itertools import islice
from typing import Any, BinaryIO

import orjson

from service.intake.sheets.cell import Unreadable
from service.intake.sheets.workbook.archive import open_book
from service.intake.sheets.workbook.book import read_book
from service.intake.sheets.workbook.choose_sheet import chosen_sheet
from service.intake.sheets.workbook.frames import END, LENGTH_BYTES, REFUSED, ROWS, SHEET
from service.intake.sheets.workbook.sheet_rows import NumberedItems, sheet_rows

ROWS_OF_A_FRAME = 200
CELLS_OF_A_FRAME = 4_000
TOO_MUCH = (
    "The workbook needs more memory than one file may have. Save its rows as .csv, or cut it into parts."
)
DAMAGED = (
    "The workbook is damaged or was not written by a spreadsheet program. Open it and save it anew as .xlsx."
)

Frame = list[Any]


def main() -> None:
    """Read the workbook at the standard input as the first argument orders."""
    order = json.loads(sys.argv[1])
    _limit_this_process(order["memory_bytes"], order["cpu_seconds"])
    last: Frame = [END]
    try:
        for frame in frames(sys.stdin.buffer, order["sheet"], order["most_rows"]):
            _tell(frame)
    except Unreadable as refused:
        last = [REFUSED, refused.message]
    except MemoryError:
        last = [REFUSED, TOO_MUCH]
    except Exception as error:  # whatever a file can do to a parser: the file is at fault, not the service
        last = [REFUSED, TOO_MUCH if "out of memory" in str(error) else DAMAGED]
    _tell(last)  # out here, where the memory of what failed is free again


def frames(file: BinaryIO, sheet: str | None, most_rows: int | None) -> Iterator[Frame]:
    """Give the one sheet that is wanted, or with ``most_rows`` the first rows of all.

    Raises
    ------
    Unreadable
        The workbook is not to be read, or the sheet that is wanted is not there.
    """
    book = read_book(open_book(file))
    if most_rows is not None:
        for one in book.sheets:
            yield [SHEET, one.name, one.hidden]
            yield from _of_rows(islice(sheet_rows(book, one), most_rows))
        return
    chosen, rows = chosen_sheet(book, sheet)
    yield [SHEET, chosen.name, chosen.hidden]
    yield from _of_rows(rows)


def _limit_this_process(memory_bytes: int, cpu_seconds: int) -> None:
    """Take away from this process what reading a workbook does not need."""
    resource.setrlimit(resource.RLIMIT_AS, (memory_bytes, memory_bytes))
    resource.setrlimit(resource.RLIMIT_CPU, (cpu_seconds, cpu_seconds + 1))
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def _tell(frame: Frame) -> None:
    text = orjson.dumps(frame)
    sys.stdout.buffer.write(len(text).to_bytes(LENGTH_BYTES, "big") + text)
    sys.stdout.buffer.flush()


def _of_rows(rows: Iterator[NumberedItems]) -> Iterator[Frame]:
    gathered: list[NumberedItems] = []
    cells = 0
    for number, items in rows:
        gathered.append((number, items))
        cells += len(items)
        if len(gathered) >= ROWS_OF_A_FRAME or cells >= CELLS_OF_A_FRAME:
            yield [ROWS, gathered]
            gathered, cells = [], 0
    if gathered:
        yield [ROWS, gathered]
    yield [ROWS, []]  # no more of this sheet


if __name__ == "__main__":
    main()
