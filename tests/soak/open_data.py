"""All open data sets go in whole through their mappings: a table of what became of every row.

`python -m tests.soak.open_data [FILE ...]`. Needs the folder of open data beside the repository; about three
minutes of one core. Exit code 1 where a total is not the one that is pinned here.
"""

import sys
import tempfile
import time
from pathlib import Path

from fastapi.testclient import TestClient

from service.app import create_app
from service.core.migrate import upgrade
from service.core.settings import Settings
from service.intake.imports.from_disk import import_from_disk
from service.intake.imports.judge import ImportOrder
from service.schools.tables import Role
from tests.api import Api
from tests.real_input.sets import SCHOOL, SETS, RealSet

FATES = ("stored", "held", "merged", "left_out", "refused")
TOTALS = {
    "class-kick-sample-counts.csv": (315, 0, 7501, 0, 0),
    "class-meter-readings.csv": (392, 45, 119, 0, 46),
    "volunteer-ecoli-do-2009-2019.csv": (1656, 28, 139, 9, 750),
    "federal-cruise-2017-2019.csv": (1678, 5, 1657, 20738, 16),
    "wsa-field-chemistry-latin1.csv": (1079, 276, 0, 18, 66),
    "state-lab-2022-north-latin1.csv": (78, 0, 125, 587, 0),
    "do-run-2021.xlsx": (0, 5, 0, 10, 0),
    "one-river-six-sites-four-seasons.csv": (0, 0, 0, 0, 24),
    "alien-macroinvertebrates-to-2003.tsv": (514, 164, 552, 55, 0),
    "national-exchange-results-small.csv": (5, 0, 0, 0, 0),
}


def main() -> int:
    print(f"{'file':<40}{'rows':>7}" + "".join(f"{fate:>10}" for fate in FATES) + f"{'seconds':>9}")
    right = [_taken_in(SETS[name]) for name in sys.argv[1:] or SETS]
    return 0 if all(right) else 1


def _taken_in(found: RealSet) -> bool:
    with tempfile.TemporaryDirectory(prefix="wadebook-open-data-") as folder:
        settings = Settings(database_url=f"sqlite:///{Path(folder) / 'network.db'}")
        upgrade(settings.database_url)
        with TestClient(create_app(settings)) as client:
            api = Api(client, client.app.state.engine)  # type: ignore[attr-defined]
            api.keys["coordinator"] = api.key(Role.COORDINATOR)
            found.enter_sites(api)
            begin = time.perf_counter()
            done = import_from_disk(api.engine, settings, ImportOrder(SCHOOL), found.path, str(found.mapping))
            seconds = time.perf_counter() - begin
    totals = {str(fate): rows for fate, rows in done.told.totals.items() if rows}
    numbers = tuple(totals.get(fate, 0) for fate in FATES)
    as_pinned = numbers == TOTALS[found.file] and set(totals) <= set(FATES)
    told = "".join(f"{number:>10,}" for number in numbers)
    verdict = "" if as_pinned else "  NOT AS PINNED"
    print(f"{found.file:<40}{sum(totals.values()):>7,}{told}{seconds:>9.1f}{verdict}")
    return as_pinned


if __name__ == "__main__":
    sys.exit(main())
