"""What the workbook holds: lists, checks and words that help, and nothing that runs."""

import io
import zipfile
from typing import Any

import openpyxl
import pytest
from openpyxl.worksheet.worksheet import Worksheet

from service.intake.field_order import Kind, Sheet, fields
from service.intake.template.columns import Counting, template_columns
from service.intake.template.heads import read_reading_head
from service.intake.template.workbook import Look, template_workbook
from tests.intake.template.filled import ACIDITY, CATALOGUE, SITES, TUBE, choice, workbook

CONTENT = workbook()
BOOK = openpyxl.load_workbook(io.BytesIO(CONTENT))


def column_of(sheet: Worksheet, head: str) -> str:
    return next(cell.column_letter for cell in sheet[1] if cell.value == head)


def rule_of(sheet: Worksheet, head: str, row: int = 3) -> Any:
    cell = f"{column_of(sheet, head)}{row}"
    return next(rule for rule in sheet.data_validations.dataValidation if cell in rule.sqref)


def words_of(rule: Any, book: Any = BOOK) -> list[Any]:
    """Return the words of the list that a rule refers to by name."""
    sheet, cells = next(iter(book.defined_names[rule.formula1.lstrip("=")].destinations))
    return [row[0].value for row in book[sheet][cells]]


def test_nothing_in_it_runs_or_calls_elsewhere() -> None:
    names = zipfile.ZipFile(io.BytesIO(CONTENT)).namelist()
    assert [name for name in names if "vba" in name or "externalLink" in name or "connections" in name] == []
    cells = [cell for sheet in BOOK for row in sheet.iter_rows() for cell in row]
    assert [cell.coordinate for cell in cells if cell.data_type == "f" or cell.hyperlink] == []


def test_the_same_choice_makes_the_same_bytes() -> None:
    assert workbook() == CONTENT


@pytest.mark.parametrize(
    ("sheet", "head", "some"),
    [
        ("visits", "site", ["007", "mill-creek-2"]),
        ("catch", "site", ["007", "mill-creek-2"]),
        ("visits", "weather", ["clear", "fog"]),
        ("visits", "flow", ["dry", "flood"]),
        ("visits", "undisturbed water", ["yes", "no"]),
        ("visits", "dead or gasping fish", ["yes", "no"]),
        ("visits", "kind of visit", ["routine", "field-blank"]),
        ("visits", "no bubble: oxygen-tablet-comparator", ["yes", "no"]),
        ("catch", "animal", ["mayfly", "scud", "Hydropsychidae", "Potamopyrgus antipodarum"]),
        ("catch", "life stage", ["larva", "adult"]),
        ("catch", "gear", ["kick-seine", "surber"]),
    ],
)
def test_what_can_be_chosen_has_a_list(sheet: str, head: str, some: list[str]) -> None:
    assert set(some) <= set(words_of(rule_of(BOOK[sheet], head)))
    assert BOOK["lists"].sheet_state == "hidden"


def test_the_list_of_animals_holds_only_names_that_stand_for_one() -> None:
    words = words_of(rule_of(BOOK["catch"], "animal"))
    assert len(words) > 300
    assert [word for word in words if not hasattr(CATALOGUE.resolve_taxon(word), "taxon")] == []


def test_without_kits_a_head_can_be_exchanged_for_one_that_names_the_kit() -> None:
    book = openpyxl.load_workbook(io.BytesIO(workbook(kits=())))
    page = book["visits"]
    offered = words_of(rule_of(page, "nitrate [mg/L as N]", 1), book)
    assert {"nitrate [mg/L as NO3] nitrate-strip", "nitrate [mg/L as N]", "nitrate [mg/L as NO3]"} <= set(
        offered
    )
    for head in offered:
        assert read_reading_head(head, CATALOGUE) is not None


def test_a_number_has_a_check_that_states_the_limits_of_its_kit() -> None:
    rule = rule_of(BOOK["visits"], TUBE)
    assert (rule.type, rule.errorStyle) == ("custom", "warning")  # < and > are text, so it only warns
    assert ">=1.0" in rule.formula1
    assert "<=60.0" in rule.formula1
    assert "1 to 60 cm" in rule.prompt
    assert "> 60" in rule.prompt


def test_dates_are_dates_codes_are_text_and_the_head_stays() -> None:
    page = BOOK["visits"]
    assert page["C2"].is_date
    assert page["C2"].number_format == "yyyy-mm-dd"
    assert page["D2"].number_format == "hh:mm"
    for code in ("site", "team"):
        assert page[f"{column_of(page, code)}2"].number_format == "@"
    assert page.column_dimensions["B"].width >= 10
    assert page.freeze_panes == "D2"


@pytest.mark.parametrize(("paper", "number"), [("a4", 9), ("letter", 1)])
def test_it_prints_landscape_on_the_paper_asked_for(paper: str, number: int) -> None:
    book = openpyxl.load_workbook(
        io.BytesIO(template_workbook(choice(kits=()), Look("Visits", paper), CATALOGUE))
    )
    for name in ("visits", "catch", "what to write", "take care"):
        setup = book[name].page_setup
        assert (setup.orientation, int(setup.paperSize)) == ("landscape", number)


def test_the_dictionary_explains_every_column() -> None:
    explained = {row[1].value for row in BOOK["what to write"].iter_rows()}
    for sheet in ("visits", "catch"):
        assert {cell.value for cell in BOOK[sheet][1]} <= explained
    assert {code for code, _ in SITES} <= explained


CAUTIONS = (
    "above the knee", "thunder", "Eye protection", "Nothing is tasted", "clean and dry", "permit", "alive",
    "screening", "Local codes", "licensed practice",
)  # fmt: skip


def test_the_cautions_are_there() -> None:
    told = " ".join(str(cell.value) for row in BOOK["take care"].iter_rows() for cell in row)
    for word in CAUTIONS:
        assert word in told


def test_every_reading_can_be_asked_for_with_every_kit() -> None:
    asked = {one.field for one in fields(Sheet.VISITS) if one.kind is Kind.READING}
    assert asked == set(CATALOGUE.parameters)
    wanted = choice(kits=list(CATALOGUE.kits.values()), parameters=list(CATALOGUE.parameters))
    columns = template_columns(Sheet.VISITS, wanted, CATALOGUE)
    assert len({column.head for column in columns}) == len(columns)
    read = [read_reading_head(one.head, CATALOGUE) for one in columns if one.kind is Kind.READING]
    assert {one.kit for one in read if one} >= set(CATALOGUE.kits)


@pytest.mark.parametrize("code", CATALOGUE.kits)
def test_the_example_is_a_value_that_the_kit_shows(code: str) -> None:
    kit = CATALOGUE.kits[code]
    columns = template_columns(Sheet.VISITS, choice(kits=[kit]), CATALOGUE)
    value = next(column.example for column in columns if column.head.endswith(f"] {code}"))
    assert isinstance(value, float | int)
    assert kit.lower <= value <= kit.upper
    steps = 0 if kit.marks else value / (kit.step or 1)
    assert value in kit.marks if kit.marks else steps == pytest.approx(round(steps))


def test_without_animals_there_is_no_sheet_for_them() -> None:
    book = openpyxl.load_workbook(io.BytesIO(workbook(counting=Counting.NONE)))
    assert book.sheetnames == ["visits", "what to write", "take care", "lists"]


def test_ph_is_headed_as_people_say_it() -> None:
    assert ACIDITY in [cell.value for cell in BOOK["visits"][1]]
