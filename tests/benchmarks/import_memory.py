"""Memory while a file is taken in: flat means that ten times the rows need no more of it.

`python -m tests.benchmarks.import_memory`. Sheets of 20,000 and 200,000 rows in no order, by a mapping, each
in a process of its own, on SQLite, with a report of every row. One row in a hundred is a visit that is
stored, the others name no site: a refused row takes as much room as another, and less time.
"""

import csv
import json
import resource
import subprocess
import sys
import tempfile
import time
from datetime import date, timedelta
from pathlib import Path

from sqlmodel import Session

from service.core.database import make_engine
from service.core.settings import Settings
from service.intake.imports.from_disk import NETWORK, import_from_disk
from service.intake.imports.judge import ImportOrder
from service.schools.keep_key import create_key
from service.schools.keep_school import create_school
from service.schools.schemas import SchoolBody
from service.schools.tables import Role
from service.sites.keep_site import create_site
from service.sites.schemas import SiteBody
from tests.benchmarks.pairs import say_machine
from tests.benchmarks.servers import migrated_database

SIZES = (20_000, 200_000)
MAPPING = {
    "site": {"column": "site"},
    "when": {"date": "date", "order": "ymd", "assumed_time": "10:00", "zone": "site"},
    "readings": [{"column": "water", "parameter": "water_temperature", "unit": "degC"}],
}


def main() -> None:
    if len(sys.argv) > 1:
        print(_take_in(int(sys.argv[1])))
        return
    say_machine()
    for size in SIZES:
        own = [sys.executable, "-m", "tests.benchmarks.import_memory", str(size)]
        print(subprocess.run(own, check=True, capture_output=True, text=True).stdout.strip())


def _take_in(size: int) -> str:
    with migrated_database("sqlite") as url, tempfile.TemporaryDirectory() as folder:
        engine, settings = make_engine(url), Settings(database_url=url)
        with Session(engine) as session:
            create_key(session, Role.COORDINATOR, None, "benchmark")
            create_school(session, NETWORK, SchoolBody(code="heron", name="Heron", time_zone="UTC"))
            create_site(session, NETWORK, SiteBody(code="reed-01", name="Reed", school="heron"))
            session.commit()
        file, mapping, report = (Path(folder) / name for name in ("rows.csv", "mapping.json", "report.json"))
        mapping.write_text(json.dumps(MAPPING))
        _write(file, size)
        before, began = _peak_mb(), time.perf_counter()
        done = import_from_disk(engine, settings, ImportOrder("heron"), file, str(mapping), report)
        seconds = time.perf_counter() - began
        written = report.stat().st_size / 2**20
    assert sum(done.told.totals.values()) == size, done.told.totals
    return (
        f"{size:>7} rows: peak {_peak_mb():.0f} MB ({before:.0f} before), {seconds:.0f} s, "
        f"report {written:.0f} MB, {dict(done.told.totals)}"
    )


def _write(file: Path, size: int) -> None:
    with file.open("w", newline="") as target:
        lines = csv.writer(target)
        lines.writerow(("site", "date", "water"))
        for number in range(size):
            day = date(2010, 1, 1) + timedelta(days=number * 7919 % 5003)
            lines.writerow(("reed-01" if number % 100 == 0 else f"no-{number}", day, 4 + number % 9))


def _peak_mb() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


if __name__ == "__main__":
    main()
