"""Real files of people who do this job, each with the mapping written for it and the sites that it speaks of.

The files stay where they are, beside the repository; where they are not, the tests that need them are skipped
and say so. Codes of sites are those of the files.
"""

import csv
import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

import openpyxl
import pytest

from service.core.schema import CODE_PATTERN
from tests.api import Api
from tests.real_input.class_files import FOLDER

MAPPINGS = Path(__file__).parent / "mappings"
SCHOOL = "river-school"
Sites = Callable[[Path], Iterable[str]]


def _column(name: str, encoding: str = "utf-8-sig", delimiter: str = ",") -> Sites:
    def words(path: Path) -> Iterable[str]:
        with path.open(encoding=encoding, newline="") as file:
            return {row[name] for row in csv.DictReader(file, delimiter=delimiter)}

    return words


def _stations_of_a_workbook(path: Path) -> Iterable[str]:
    sheet = openpyxl.load_workbook(path, read_only=True)["All Data"]
    return {str(row[0]) for row in sheet.iter_rows(min_row=2, values_only=True) if row[0] is not None}


@dataclass(frozen=True)
class RealSet:
    """One file, the zone of its place, and where the names of its sites stand."""

    file: str
    zone: str
    sites: Sites

    @property
    def path(self) -> Path:
        path = FOLDER / self.file
        if not path.is_file():
            pytest.skip(f"the open data file {self.file} is not beside the repository")
        return path

    @property
    def mapping(self) -> Path:
        return MAPPINGS / f"{self.path.stem}.toml"

    def enter_sites(self, api: Api, file: Path | None = None) -> None:
        """Enter a school with the sites of the file, or of its beginning; what is no code stays a name."""
        school = {"code": SCHOOL, "name": "River School", "time_zone": self.zone}
        assert api.post("/v1/schools", school).status_code == 201
        names = {name.strip() for name in self.sites(file or self.path)} - {"", "NULL"}
        for number, name in enumerate(sorted(names), start=1):
            code = name.lower() if re.fullmatch(CODE_PATTERN, name.lower()) else f"site-{number}"
            body = {"code": code, "name": name, "school": SCHOOL, "time_zone": self.zone}
            assert api.post("/v1/sites", body).status_code == 201, body

    def records(self) -> list[dict[str, str]]:
        """Return the records of a text file as another reader reads them."""
        encoding = "latin-1" if "latin1" in self.file else "utf-8-sig"
        with self.path.open(encoding=encoding, newline="") as file:
            return list(csv.DictReader(file, delimiter="\t" if self.path.suffix == ".tsv" else ","))

    def beginning(self, records: int, folder: Path) -> Path:
        """Return a copy of the head and the first records of a text file, bytes as they are."""
        lines = self.path.read_bytes().splitlines(keepends=True)
        cut = folder / self.file
        cut.write_bytes(b"".join(lines[: records + 1]))
        return cut


SETS = {
    found.file: found
    for found in (
        RealSet("class-kick-sample-counts.csv", "America/New_York", _column("location")),
        RealSet("class-meter-readings.csv", "America/New_York", _column("location")),
        RealSet("volunteer-ecoli-do-2009-2019.csv", "America/New_York", _column("Site")),
        RealSet("federal-cruise-2017-2019.csv", "America/Los_Angeles", _column("Station_Number")),
        RealSet("wsa-field-chemistry-latin1.csv", "America/Denver", _column("SITE_ID", "latin-1")),
        RealSet(
            "state-lab-2022-north-latin1.csv", "America/Los_Angeles", _column("Station Number", "latin-1")
        ),
        RealSet("do-run-2021.xlsx", "America/Los_Angeles", _stations_of_a_workbook),
        RealSet("one-river-six-sites-four-seasons.csv", "Europe/Paris", _column("site")),
        RealSet(
            "alien-macroinvertebrates-to-2003.tsv",
            "Europe/Brussels",
            _column("location_name_item_name", delimiter="\t"),
        ),
        RealSet(
            "national-exchange-results-small.csv", "America/Chicago", _column("MonitoringLocationIdentifier")
        ),
    )
}
