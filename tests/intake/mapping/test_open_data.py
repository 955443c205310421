"""What stands in the cells of real files, read against what the files say elsewhere and other programs read.

The files stay where they are, beside the repository; where they are not, these tests are skipped and say so.
"""

import csv
from collections import Counter, defaultdict
from datetime import UTC, datetime
from pathlib import Path

import pytest

from service.intake.mapping.assemble import assemble
from service.intake.mapping.cell_problem import Refused
from service.intake.mapping.load_mapping import read_mapping
from service.intake.mapping.part import Part, VisitKey
from service.intake.mapping.read_rows import read_rows
from service.intake.mapping.written.censoring import read_limited
from service.intake.mapping.written.clock import read_clock
from service.intake.mapping.written.dates import DateRule, read_date
from service.intake.mapping.written.numbers import NumberRule, read_number
from service.intake.sheets.cell import Cell, Grid, Row

FOLDER = Path(__file__).resolve().parents[4] / "shared" / "open-data"
PLACES = {"above": ("above the pond", "America/New_York"), "below": ("below the pond", "America/New_York")}
CLASS = {"column": "location", "values": {"Upstream": "above", "Downstream": "below"}}


def table(name: str, encoding: str = "utf-8-sig", delimiter: str = ",") -> list[dict[str, str]]:
    path = FOLDER / name
    if not path.is_file():
        pytest.skip(f"the open data file {name} is not beside the repository")
    with path.open(encoding=encoding, newline="") as file:
        return list(csv.DictReader(file, delimiter=delimiter))


def grid_of(rows: list[dict[str, str]]) -> Grid:
    head = Row(1, tuple(Cell(name or None) for name in rows[0]))
    return Grid(
        "",
        head,
        iter(
            [
                Row(n, tuple(Cell(cell or None) for cell in row.values()))
                for n, row in enumerate(rows, start=2)
            ]
        ),
    )


def test_the_instants_of_a_class_are_those_that_the_file_gives_in_utc() -> None:
    rows = table("class-meter-readings.csv")
    mapping = read_mapping(
        {
            "file": {"missing": ["NA"]},
            "site": CLASS,
            "when": {"date": "date", "time": "startTime", "zone": "America/New_York"},
            "readings": [{"column": "wTemp", "parameter": "water_temperature", "unit": "degC"}],
        }
    )
    read = list(read_rows(mapping, grid_of(rows), PLACES))
    compared = [
        (row.key.instant, sent["dateTime.UTC"]) for row, sent in zip(read, rows, strict=True) if row.key
    ]
    assert len(compared) > 500
    assert all(instant == written for instant, written in compared)
    without_time = [sent for row, sent in zip(read, rows, strict=True) if row.problems]
    assert {sent["startTime"] for sent in without_time} == {"NA"}


def test_every_animal_of_a_class_is_counted_once() -> None:
    rows = table("class-kick-sample-counts.csv")
    mapping = read_mapping(
        {
            "file": {"missing": ["NA"]},
            "site": CLASS,
            "when": {"date": "date", "assumed_time": "12:00", "zone": "site"},
            "apart": ["sampleID"],
            "catch": {
                "taxon": "scientificName",
                "count": "number",
                "life_stage": {"column": "stage"},
                "area_m2": {"column": "benthicArea"},
            },
        }
    )
    read = list(read_rows(mapping, grid_of(rows), PLACES))
    assert not any(row.problems or row.left_out for row in read)
    visits: defaultdict[VisitKey, list[Part]] = defaultdict(list)
    for row in read:
        if row.key and row.part:
            visits[row.key].append(row.part)
    made = [assemble(key, parts) for key, parts in visits.items()]
    assert [one.problems for one in made] == [[]] * 315
    counted = sum(line["count"] for one in made for line in one.body["catch"]["counts"])
    assert counted == sum(int(row["number"]) for row in rows)
    distinct = {(row["sampleID"], row["scientificName"], row["stage"]) for row in rows}
    assert sum(len(one.body["catch"]["counts"]) for one in made) == len(distinct)
    assert sum(len(one.remarks) for one in made) == len(rows) - len(distinct)


def test_clocks_that_lost_their_noughts() -> None:
    rows = table("federal-cruise-2017-2019.csv")
    for row in rows:
        padded = row["Time"].zfill(4)
        seconds = int(padded[:2]) * 3600 + int(padded[2:]) * 60
        assert read_clock(row["Time"], bare=True).seconds == seconds
    assert sum(len(row["Time"]) == 3 for row in rows) == 9_993


def test_dates_without_noughts_and_centuries() -> None:
    rule = DateRule("mdy", century=2000)
    for written in {row["Date"] for row in table("federal-cruise-2017-2019.csv")}:
        assert (
            read_date(written, rule).day == datetime.strptime(written, "%m/%d/%y").replace(tzinfo=UTC).date()
        )


def test_results_below_their_limit() -> None:
    results = [row["Result"] for row in table("state-lab-2022-north-latin1.csv", "latin-1") if row["Result"]]
    signs = Counter(read_limited(result, NumberRule(".")).sign for result in results)
    assert signs == {"<": 178, "": len(results) - 178}


def test_clocks_of_field_crews() -> None:
    fates: Counter[str] = Counter()
    for row in table("wsa-field-chemistry-latin1.csv", "latin-1"):
        written = row["TIME"].strip()
        if written in {"", "."}:
            continue
        try:
            read_clock(written)
            fates["read"] += 1
        except Refused:
            fates[written] += 1
    assert fates == {"read": 1_194, ":": 13}


def test_coordinates_with_decimal_commas() -> None:
    for row in table("alien-macroinvertebrates-to-2003.tsv", "utf-8", "\t"):
        assert read_number(row["sample_lat"], NumberRule(",")) == float(row["sample_lat"].replace(",", "."))
