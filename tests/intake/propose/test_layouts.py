"""Sites, animals and one reading a row: what the sheet is, and which of its words are known."""

import csv
import random
from pathlib import Path

import openpyxl
import pytest

from service.intake.propose.propose import propose
from service.intake.template.columns import Choice
from service.intake.template.csv_file import template_csv
from service.reference.load import load_catalogue
from tests.intake.propose.answers import PLACES, answered, asked, proposal_for, question, remarks, values

FISHED = "Site|Date|Time|Animal|{head}\n{rows}"


def test_sites_are_known_by_code_and_name_and_near_ones_only_told(tmp_path: Path) -> None:
    rows = "\n".join(
        f"{word}|2025-03-12|9:40|7" for word in ("oak-run", "Mill Creek at the bridge", "Oak Rum")
    )
    proposal = proposal_for(tmp_path, f"Site|Date|Time|pH\n{rows}")
    assert {word.word: (word.site, word.near) for word in proposal.sites} == {
        "Mill Creek at the bridge": ("mill-creek-1", ""),
        "Oak Rum": (None, "Oak Run or oak-run"),
        "oak-run": ("oak-run", ""),
    }
    found = question(proposal, "/site/values")
    assert found.needed
    assert found.fill_in == {
        "Mill Creek at the bridge": "mill-creek-1",
        "Oak Rum": None,
        "oak-run": "oak-run",
    }


def test_a_word_that_is_like_no_site_is_asked_about_too(tmp_path: Path) -> None:
    proposal = proposal_for(tmp_path, "Site|Date|Time|pH\nZebra Lake|2025-03-12|9:40|7")
    assert question(proposal, "/site/values").fill_in == {"Zebra Lake": None}


def test_without_a_column_of_sites_the_site_is_asked_for(tmp_path: Path) -> None:
    found = question(proposal_for(tmp_path, "Date|Time|pH\n2025-03-12|9:40|7"), "/site")
    assert {"value": "oak-run"} in values(found)


def test_of_several_columns_the_one_whose_words_are_sites_is_taken_and_the_others_told(
    tmp_path: Path,
) -> None:
    proposal = proposal_for(
        tmp_path, "Station number|Station name|Date|Time|pH\n17|Oak Run|2025-03-12|9:40|7"
    )
    assert proposal.mapping["site"] == {"column": "Station name"}
    assert len(values(question(proposal, "/site"))) == 2


def test_animals_with_counts_are_a_catch_and_unknown_names_are_told(tmp_path: Path) -> None:
    rows = "\n".join(
        f"oak-run|2025-03-12|9:40|{name}|3" for name in ("mayfly", "Hydropsychida", "winter stonefly")
    )
    proposal = proposal_for(tmp_path, FISHED.format(head="Number", rows=rows))
    assert proposal.mapping["catch"] == {"taxon": "Animal", "count": "Number"}
    taxa = proposal.taxa
    assert taxa is not None
    assert (taxa.names, taxa.known) == (3, 1)
    told = {one.name: one.told for one in taxa.others}
    assert "did you mean Hydropsychidae" in told["Hydropsychida"]
    assert "Capniidae or Taeniopterygidae" in told["winter stonefly"]


@pytest.mark.parametrize(
    ("head", "cells", "catch"),
    [
        ("Count", ("R", "c"), {"count": "Count", "letters": True}),
        ("Remark", ("x", "y"), {}),
    ],
)
def test_letters_are_letters_and_a_list_of_finds_is_asked_about(
    tmp_path: Path, head: str, cells: tuple[str, str], catch: dict[str, object]
) -> None:
    rows = "\n".join(f"oak-run|2025-03-12|9:40|scud|{cell}" for cell in cells)
    proposal = proposal_for(tmp_path, FISHED.format(head=head, rows=rows))
    assert proposal.mapping["catch"] == {"taxon": "Animal"} | catch
    assert ("/catch/found_only" in asked(proposal, needed=True)) is not bool(catch)
    assert answered(proposal, {}).catch is not None


def test_words_for_how_many_are_asked_what_they_mean(tmp_path: Path) -> None:
    rows = "\n".join(f"oak-run|2025-03-12|9:40|scud|{cell}" for cell in ("few", "many"))
    found = question(proposal_for(tmp_path, FISHED.format(head="Count", rows=rows)), "/catch/letter_words")
    assert found.fill_in == {"few": None, "many": None}


def test_a_column_for_each_animal_is_seen_and_a_doubtful_one_asked_about(tmp_path: Path) -> None:
    proposal = proposal_for(
        tmp_path, "Site|Date|Time|Baetis_sp|Ecdyonorus_sp|Caenis_sp\noak-run|2025-03-12|9:40|4|0|2"
    )
    assert [line["taxon"] for line in proposal.mapping["catch"]["columns"]] == ["Baetis sp", "Caenis sp"]
    assert "Ecdyonurus" in question(proposal, "/catch/columns").question
    assert values(question(proposal, "/catch/counted_only"))[0] == ["Ephemeroptera"]


LONG = """
Site|Date|Time|Analyte|Result|Units|Rpt Limit
oak-run|2025-03-12|9:40|Nitrate|1.2|mg/L as N|0.05
oak-run|2025-03-12|9:40|Nitrate|1.2|mg/L|0.05
oak-run|2025-03-12|9:40|Dissolved Chloride|12|mg/L|1
oak-run|2025-03-12|9:40|Turbidity|3|F.N.U.|1
oak-run|2025-03-12|9:40|Dissolved Boron|<0.1|mg/L|0.1
oak-run|2025-03-12|9:40|pH|7.1|pH Units|0.1
"""


def test_one_reading_a_row_is_seen_and_each_word_and_unit_accounted_for(tmp_path: Path) -> None:
    proposal = proposal_for(tmp_path, LONG)
    long = proposal.mapping["long"]
    assert (long["parameter"], long["value"], long["unit"]) == ("Analyte", "Result", "Units")
    assert long["limit"] == {"column": "Rpt Limit"}
    assert long["kinds"]["Nitrate|mg/L as N"] == {"parameter": "nitrate", "unit": "mg/L as N"}
    assert long["kinds"]["Dissolved Chloride|mg/L"] == {"parameter": "chloride", "unit": "mg/L"}
    assert long["left_out"] == ["Dissolved Boron", "Turbidity"]
    found = question(proposal, "/long/kinds/Nitrate|mg~1L")
    assert found.needed
    assert {value["unit"] for value in values(found) if value} >= {"mg/L as N", "mg/L as NO3"}
    assert answered(proposal, {}).long is not None


def test_several_samples_of_one_moment_are_asked_about(tmp_path: Path) -> None:
    rows = "\n".join(f"oak-run|2025-03-12|9:40|{sample}|7" for sample in ("a", "b"))
    found = question(proposal_for(tmp_path, f"Site|Date|Time|Sample ID|pH\n{rows}"), "/apart")
    assert values(found) == [[], ["Sample ID"]]
    assert "2 visits" in found.choices[1].text


def test_duplicates_are_proposed_as_such_and_not_taken_without_asking(tmp_path: Path) -> None:
    rows = "\n".join(f"oak-run|2025-03-12|9:40|{mark}|7" for mark in ("", "D"))
    proposal = proposal_for(tmp_path, f"Site|Date|Time|QC|pH\n{rows}")
    assert values(question(proposal, "/kind"))[0]["values"] == {"D": "field-replicate"}
    assert "kind" not in proposal.mapping


def test_a_list_of_sites_is_told_to_be_nothing_to_read(tmp_path: Path) -> None:
    proposal = proposal_for(tmp_path, "Site name|lat|long\nOak Run|44.1|-90.2")
    assert asked(proposal) == ["/readings"]
    assert "/v1/sites" in proposal.questions[0].question
    assert not proposal.complete


def test_of_several_sheets_the_fullest_is_looked_at_and_the_others_named(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    book.active.title = "Key"
    book.active.append(["Sky", "Meaning"])
    page = book.create_sheet("Visits")
    page.append(["Site", "Date", "Time", "pH"])
    for day in (12, 13):
        page.append(["oak-run", f"2025-03-{day}", "9:40", 7])
    book.save(tmp_path / "two.xlsx")
    proposal = propose(tmp_path / "two.xlsx", PLACES)
    assert proposal.sheet == "Visits"
    assert values(question(proposal, "/file/sheet")) == ["Key", "Visits"]


def test_cells_that_must_not_be_used_are_told(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    for row in (["Site", "Date", "Time", "pH"], ["oak-run", "2025-03-12", "9:40", "=7+1"]):
        book.active.append(row)
    book.save(tmp_path / "formula.xlsx")
    assert "cells that are refused: 1; the first, in row 2" in remarks(
        propose(tmp_path / "formula.xlsx", PLACES), "pH"
    )


NASTY = (
    "", "7", "7,5", "1,234", "<0.5",
    "≤4", "NA", "nd", "13/14/2025", "0/0/2025", "99/99/99", "7:50 CDT", "25:99",
    "752", "1e999", "9" * 100, "mayfly", "R", "TRUE", "°",
    "#N/A", "mg/L", "Nitrate", "2025", "45000", "(" * 300,
)  # fmt: skip
HEADS = (
    "Site",
    "Date",
    "Time",
    "pH",
    "DO",
    "Count",
    "Animal",
    "Analyte",
    "Result",
    "Units",
    "Zone",
    "Stage",
    "",
    "(((",
)


@pytest.mark.parametrize("seed", range(40))
def test_any_cell_under_any_head_gets_a_proposal(tmp_path: Path, seed: int) -> None:
    chosen = random.Random(seed)
    heads = ["Site", *chosen.choices(HEADS, k=chosen.randint(1, 8))]
    rows = [chosen.choices(NASTY, k=len(heads)) for _ in range(chosen.randint(1, 8))]
    path = tmp_path / "nasty.csv"
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file, delimiter="\t").writerows([heads, *rows])
    proposal = propose(path, PLACES)
    assert len(proposal.columns) == len(heads)
    assert all(
        one.choices or one.fill_in or one.write or one.about == "/readings" for one in proposal.questions
    )


def test_letters_that_are_not_utf_8_are_shown_and_asked_about(tmp_path: Path) -> None:
    path = tmp_path / "old.csv"
    path.write_bytes("Site,Date,Time,Temp (°C)\noak-run,2025-03-12,9:40,7\n".encode("latin-1"))
    found = question(propose(path, PLACES), "/file/encoding")
    assert "Temp (°C)" in found.question
    assert {"windows-1252", "latin-1"} <= set(values(found))


def test_our_own_template_needs_no_mapping(tmp_path: Path) -> None:
    path = tmp_path / "own.csv"
    path.write_bytes(template_csv(Choice([("oak-run", "Oak Run")]), load_catalogue()))
    proposal = propose(path, PLACES)
    assert (proposal.questions, proposal.complete) == ([], True)
    assert "/v1/imports without any mapping" in proposal.text


def test_a_sheet_that_leaves_only_small_things_open_can_be_used_at_once(tmp_path: Path) -> None:
    proposal = proposal_for(tmp_path, "Site|Date|Time|pH\noak-run|2025-03-12|9:40|7")
    assert asked(proposal, needed=True) == ["/when/zone"]
    assert not proposal.complete
    assert answered(proposal, {}).when.zone == "site"
