"""Real sheets of people who do this job: what is asked of each, and that the answered mapping reads it.

The files stay where they are, beside the repository; where they are not, these tests are skipped and say so.
What each file really holds is said in its README: the oddities named there must be asked about or told.
"""

from collections.abc import Mapping as Dictionary
from dataclasses import dataclass, field
from functools import cache
from itertools import islice
from pathlib import Path
from typing import Any

import pytest

from service.intake.mapping.read_row import ReadRow
from service.intake.mapping.read_rows import named_columns, read_rows
from service.intake.propose.propose import propose
from service.intake.propose.schemas import Proposal
from service.intake.sheets.cell import Unreadable
from service.intake.sheets.read_file import read_file
from tests.intake.propose.answers import answered, asked, question, remarks, values

FOLDER = Path(__file__).resolve().parents[4] / "shared" / "open-data"
MOST_ROWS = 3_000  # read again with the answered mapping, to be quick
Answers = Dictionary[str, Any]


@dataclass(frozen=True)
class Case:
    """One file: what must be asked, what a person answers, and how many of its rows are then taken."""

    file: str
    zone: str
    needed: tuple[str, ...]
    answers: Answers = field(default_factory=dict)
    taken: int = 0


def unit(column: str, parameter: str, of: str, **more: Any) -> Answers:
    return {"column": column, "parameter": parameter, "unit": of} | more


MICROMOLAR_N, MICROMOLAR_P = 0.014007, 0.030973762  # mg in a micromol
CASES = (
    Case(
        "class-kick-sample-counts.csv", "America/New_York",
        ("/when/assumed_time", "/when/zone", "/file/missing"),
        {"/when/assumed_time": "12:00", "/apart": ["sampleID"]}, 3000,
    ),
    Case(
        "class-meter-readings.csv", "America/New_York",
        ("/when/zone", "/readings/2", "/readings/3", "/readings/5", "/readings/6", "/readings/7",
         "/readings/8", "/file/missing"),
        {"/readings/0": unit("depth", "water_depth", "cm"),
         "/readings/7": unit("nitrate", "nitrate", "mg/L as NO3")}, 556,
    ),
    Case(
        "volunteer-ecoli-do-2009-2019.csv", "America/New_York",
        ("/when/zone", "/readings/1", "/readings/2", "/readings/4", "/file/missing"),
        {"/when/assumed_time": "07:00",
         "/readings/4/censored": {"column": "Flag", "values": {"TRUE": ">", "FALSE": ""}}}, 2573,
    ),
    Case(
        "federal-cruise-2017-2019.csv", "America/Los_Angeles",
        ("/when/century", "/when/bare_clock", "/when/zone", *(f"/readings/{place}" for place in range(9))),
        {"/readings/0": None, "/apart": ["Depth"],
         "/readings/5": unit("Nitrite", "nitrite", "mg/L as N", times=MICROMOLAR_N),
         "/readings/8": unit("Phosphate", "phosphate", "mg/L as P", times=MICROMOLAR_P)}, 3000,
    ),
    Case(
        "wsa-field-chemistry-latin1.csv", "America/Denver",
        ("/file/encoding", "/when/zone", "/readings/0", "/readings/1", "/readings/2", "/readings/3",
         "/file/missing"),
        {"/when/assumed_time": "12:00"}, 1355,
    ),
    Case(
        "state-lab-2022-north-latin1.csv", "America/Los_Angeles",
        ("/file/encoding", "/when/zone", "/long/kinds/Dissolved Nitrate + Nitrite|mg~1L as N"), {}, 276,
    ),
    Case(
        "do-run-2021.xlsx", "America/Los_Angeles", ("/when/zone", "/readings/0"),
        {"/readings/0": None, "/apart": ["Depth (m)"]}, 15,
    ),
    Case(
        "one-river-six-sites-four-seasons.csv", "Europe/Paris",
        ("/when/date", "/when/zone", "/catch/columns", "/catch/counted_only", "/readings/0", "/readings/4",
         "/readings/6"),
        {"/when/date": "season",
         "/when/days": {"spring": "2025-03-20", "summer": "2025-06-20", "autumn": "2025-09-20",
                        "winter": "2025-12-20"},
         "/when/assumed_time": "12:00", "/apart": ["sample"]}, 24,
    ),
    Case(
        "alien-macroinvertebrates-to-2003.tsv", "Europe/Brussels",
        ("/when/assumed_time", "/when/zone", "/catch/found_only", "/only"),
        {"/when/assumed_time": "12:00"}, 1230,
    ),
    Case("national-exchange-results-small.csv", "America/Chicago", ("/when/zone/values",), {}, 5),
)  # fmt: skip


@cache
def proposal_of(file: str) -> Proposal:
    """Return the proposal for a file, of a school that has no site yet."""
    return propose(path_of(file), {})


def path_of(file: str) -> Path:
    if not (FOLDER / file).is_file():
        pytest.skip(f"the open data file {file} is not beside the repository")
    return FOLDER / file


def codes_of(proposal: Proposal) -> dict[str, str]:
    """Return a code for each word that names a site."""
    return {word.word: f"site-{number}" for number, word in enumerate(proposal.sites, start=1)}


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.file)
def test_what_the_file_leaves_open_is_asked(case: Case) -> None:
    proposal = proposal_of(case.file)
    assert {"/site/values", *case.needed} <= set(asked(proposal, needed=True))
    assert not proposal.complete


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.file)
def test_with_answers_the_mapping_reads_the_file(case: Case) -> None:
    rows = read_with(case, proposal_of(case.file))
    taken = [row for row in rows if row.key is not None]
    assert len(taken) == case.taken, [row.problems for row in rows if row.problems][:3]
    for row in rows:
        assert bool(row.key) + bool(row.problems) + bool(row.left_out) == 1


def read_with(case: Case, proposal: Proposal) -> list[ReadRow]:
    codes = codes_of(proposal)
    mapping = answered(proposal, {"/site/values": codes} | case.answers)
    places = {code: (word, case.zone) for word, code in codes.items()}
    with read_file(path_of(case.file), mapping.file, named_columns(mapping)) as grid:
        return list(islice(read_rows(mapping, grid, places), MOST_ROWS))


def told(file: str, about: str) -> str:
    return question(proposal_of(file), about).question


def columns_told(file: str, name: str) -> str:
    return remarks(proposal_of(file), name)


def test_the_oddities_that_its_readme_names_are_asked_about_or_told() -> None:
    cruise, crews, lab = (
        "federal-cruise-2017-2019.csv",
        "wsa-field-chemistry-latin1.csv",
        "state-lab-2022-north-latin1.csv",
    )
    assert "752 in row 2" in told(cruise, "/when/bare_clock")
    assert "second number is no month" in columns_told(cruise, "Date")
    assert any(value and value.get("times") == MICROMOLAR_N for value in choices(cruise, "/readings/5"))
    assert "°C" in told(crews, "/file/encoding")
    assert "0.4 to 96.5" in told(crews, "/readings/2")
    assert '"." (226 times)' in told(crews, "/file/missing")
    assert "178" in columns_told(lab, "Result")
    assert "nitrite too" in told(lab, "/long/kinds/Dissolved Nitrate + Nitrite|mg~1L as N")


def test_the_oddities_of_classes_and_volunteers_are_asked_about_or_told() -> None:
    meters, volunteers = "class-meter-readings.csv", "volunteer-ecoli-do-2009-2019.csv"
    assert {"mg/L as N", "mg/L as NO3"} <= {
        value["unit"] for value in choices(meters, "/readings/7") if value
    }
    assert "46 of 602 rows" in told(meters, "/when/assumed_time")
    assert "below zero" in columns_told(meters, "flow")
    assert "2419.6, the largest of all: 88 values" in columns_told(volunteers, "Ecoli")
    assert "70 rows say TRUE" in told(volunteers, "/readings/4/censored")
    assert "756 of 2582 rows" in told(volunteers, "/when/assumed_time")
    assert choices(volunteers, "/kind")[0]["values"]["D"] == "field-replicate"


def test_the_oddities_of_the_smaller_files_are_asked_about_or_told() -> None:
    run, thesis, aliens = (
        "do-run-2021.xlsx",
        "one-river-six-sites-four-seasons.csv",
        "alien-macroinvertebrates-to-2003.tsv",
    )
    assert "daylight" in told(run, "/when/zone")
    assert choices(run, "/conditions")[0]["air_temperature_unit"] == "degF"
    assert "0.3048" in columns_told(run, "Water Depth (ft)")
    assert "not read" in columns_told(run, "Secchi (cm)")
    assert {"%", "mg/L"} == {value["unit"] for value in choices(thesis, "/readings/4") if value}
    assert "Ecdyonurus" in told(thesis, "/catch/columns")
    assert choices(thesis, "/catch/counted_only")[0] == ["Ephemeroptera"]
    assert "no column of counts" in told(aliens, "/catch/found_only")
    assert question(proposal_of("national-exchange-results-small.csv"), "/when/zone/values").fill_in == {
        "CDT": "UTC-05:00"
    }


def choices(file: str, about: str) -> list[Any]:
    return values(question(proposal_of(file), about))


@pytest.mark.parametrize(
    "file",
    [
        "volunteer-sites.csv",
        "federal-cruise-stations.xlsx",
        "wsa-site-verification.csv",
        "state-lab-stations.csv",
        "national-exchange-stations-small.csv",
    ],
)
def test_a_list_of_stations_is_told_to_be_nothing_to_read(file: str) -> None:
    path = FOLDER / file
    if not path.is_file():
        pytest.skip(f"the open data file {file} is not beside the repository")
    try:
        proposal = propose(path, {})
    except Unreadable as error:
        pytest.fail(error.message)
    assert asked(proposal) == ["/readings"]
