"""Real monitoring files: as many rows as were counted in them by other means when they were gathered."""

from pathlib import Path
from typing import Any

import pytest

from service.intake.sheets.look import MOST_ROWS, look_into
from tests.intake.sheets.reading import everything

FOLDER = Path(__file__).parents[4] / "shared" / "open-data"
LATIN = {"encoding": "latin-1"}
FILES: list[tuple[str, dict[str, Any], int, int]] = [
    ("class-kick-sample-counts.csv", {}, 11, 7_816),
    ("class-meter-readings.csv", {}, 19, 602),
    ("volunteer-ecoli-do-2009-2019.csv", {}, 13, 2_582),
    ("volunteer-sites.csv", {}, 6, 48),
    ("federal-cruise-2017-2019.csv", {}, 18, 24_094),
    ("federal-cruise-stations.xlsx", {}, 5, 59),
    ("wsa-field-chemistry-latin1.csv", LATIN, 18, 1_439),
    ("wsa-site-verification.csv", {}, 42, 1_391),
    ("state-lab-2022-north-latin1.csv", LATIN, 20, 791 - 1),  # one of its records is blank
    ("state-lab-stations.csv", {}, 7, 49),
    ("do-run-2021.xlsx", {"sheet": "All Data"}, 22, 15),
    ("one-river-six-sites-four-seasons.csv", {}, 26, 24),
    ("alien-macroinvertebrates-to-2003.tsv", {}, 16, 1_285),
    ("national-exchange-results-small.csv", {}, 63, 5),
    ("national-exchange-stations-small.csv", {}, 36, 5),
]

pytestmark = pytest.mark.skipif(not FOLDER.is_dir(), reason="the open data are not beside the repository")


@pytest.mark.parametrize(("name", "how", "columns", "rows"), FILES)
def test_every_row_is_read_and_fits_its_head(name: str, how: dict[str, Any], columns: int, rows: int) -> None:
    head, read = everything(FOLDER / name, **how)
    assert (len(head), len(read)) == (columns, rows)
    assert not any(cell.fault for row in read for cell in row.cells)


@pytest.mark.parametrize(("name", "how", "columns", "rows"), FILES)
def test_a_look_finds_the_same(name: str, how: dict[str, Any], columns: int, rows: int) -> None:
    found = look_into(FOLDER / name)[0]
    assert (len(found.columns), found.rows) == (columns, min(rows, MOST_ROWS - 1))


def test_what_is_known_of_single_cells() -> None:
    head, rows = everything(FOLDER / "do-run-2021.xlsx", sheet="All Data")
    assert [name for name in head if "°" in str(name)] == ["Water Temp (°C)", "Air Temp (°F)"]
    _, rows = everything(FOLDER / "federal-cruise-stations.xlsx")
    assert any(cell.value == "19690522/19780615" for row in rows for cell in row.cells)
    _, rows = everything(FOLDER / "national-exchange-stations-small.csv")
    assert any(cell.value == "02030105" for row in rows for cell in row.cells)
