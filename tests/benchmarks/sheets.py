"""How fast files are read into cells beside the plain reader of each kind, and whether memory stays flat.

The peers only give values; here each row also has its number, cells are told apart, and nothing in a workbook
can harm the service. Memory is that of a process that does nothing else, and of the child it starts.
"""

import csv
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

import openpyxl

from service.intake.mapping.bodies.file import FileBody
from service.intake.sheets.read_file import read_file
from tests.benchmarks.big_sheets import COLUMNS, write_csv, write_xlsx
from tests.benchmarks.pairs import Rate, pairs_asked, say_machine, say_ratio, take_turns

FEW, MANY = 20_000, 200_000
GOALS = {".csv": 0.15, ".xlsx": 2.0}
PEERS = {".csv": "csv.reader", ".xlsx": "openpyxl, read-only"}
WRITERS = {".csv": write_csv, ".xlsx": write_xlsx}
MEASURE = """
import resource, sys
from pathlib import Path
from tests.benchmarks.sheets import read_here
read_here(Path(sys.argv[1]))
# ru_maxrss begins with what the process that started this one had, so for this one it says too much.
[own] = [line for line in Path("/proc/self/status").read_text().splitlines() if line.startswith("VmHWM")]
print(int(own.split()[1]) // 1024, resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss // 1024)
"""


def read_here(path: Path) -> int:
    """Return how many cells a file has, read as the service reads it."""
    with read_file(path, FileBody()) as grid:
        return sum(len(row.cells) for row in grid.rows)


def read_by_peer(path: Path) -> int:
    """Return how many cells a file has below its head, as the plain reader of its kind gives them."""
    if path.suffix == ".csv":
        with path.open(encoding="utf-8", newline="") as file:
            return sum(map(len, csv.reader(file))) - COLUMNS
    sheet = openpyxl.load_workbook(path, read_only=True).worksheets[0]
    sheet.reset_dimensions()
    return sum(len(row) for row in sheet.iter_rows(values_only=True)) - COLUMNS


def say_memory(folder: Path, ending: str) -> None:
    """Print the largest memory of reading a small and a large file."""
    for rows in (FEW, MANY):
        path = folder / f"{rows}{ending}"
        if not path.exists():
            WRITERS[ending](path, rows)
        begin = perf_counter()
        done = subprocess.run([sys.executable, "-c", MEASURE, str(path)], check=True, capture_output=True)
        took = perf_counter() - begin
        service, child = map(int, done.stdout.split())
        size = path.stat().st_size // 1_048_576
        print(
            f"  {rows:>7} rows of {COLUMNS} cells, {size:>3} MiB: {service:>4} MiB, "
            f"in the child at most {child:>4} MiB, {took:.1f} s"
        )


def main() -> None:
    pairs = pairs_asked(__doc__)
    say_machine()
    with TemporaryDirectory() as name:
        for ending, write in WRITERS.items():
            path = Path(name) / f"{FEW}{ending}"
            write(path, FEW)
            assert read_here(path) == read_by_peer(path) == FEW * COLUMNS
            ours, peer = take_turns(
                ("here", _rate(read_here, path)), (PEERS[ending], _rate(read_by_peer, path)), pairs
            )
            say_ratio(f"{ending}: thousand cells a second", ours, peer, "k/s", GOALS[ending])
            say_memory(Path(name), ending)


def _rate(read: Callable[[Path], int], path: Path) -> Rate:
    def work() -> float:
        begin = perf_counter()
        cells = read(path)
        return cells / 1000 / (perf_counter() - begin)

    return work


if __name__ == "__main__":
    main()
