"""What stands in the cells of a workbook, as a person sees it."""

from datetime import date, datetime, time
from pathlib import Path

import pytest

from service.intake.sheets.cell import Cell, Value
from tests.intake.sheets.reading import everything, values, why_unreadable
from tests.intake.sheets.workbooks import book, formats, head, sheet, text

TEXTS = (
    "<si><t>plain</t></si>"
    "<si><r><t>rich </t></r><r><rPr/><t>text</t></r></si>"
    "<si><t>漢</t><rPh sb='0' eb='1'><t>kan</t></rPh></si>"
    "<si><t>two_x000D_\nlines _x0041__xD800_</t></si>"
    "<si><t/></si>"
)


CELLS: list[tuple[str, Value]] = [
    ("<c><v>7</v></c>", 7),
    ("<c><v>7.0999999999999996</v></c>", 7.1),  # as 7.1 is written: 17 digits (IEEE 754)
    ("<c><v>1E3</v></c>", 1000),
    ("<c><v>-0.25</v></c>", -0.25),
    ('<c t="s"><v>0</v></c>', "plain"),
    ('<c t="s"><v>1</v></c>', "rich text"),
    ('<c t="s"><v>2</v></c>', "漢"),
    ('<c t="s"><v>3</v></c>', "two\r\nlines A_xD800_"),
    ('<c t="s"><v>4</v></c>', None),
    ('<c t="inlineStr"><is><t>02030105</t></is></c>', "02030105"),
    ('<c t="inlineStr"><is><r><t>7</t></r><r><t>.5</t></r></is></c>', "7.5"),
    ('<c t="str"><v>written so by some programs</v></c>', "written so by some programs"),
    ('<c t="b"><v>1</v></c>', True),
    ('<c t="b"><v>0</v></c>', False),
    ('<c t="b"><f aca="false">TRUE()</f><v>1</v></c>', True),  # by LibreOffice Calc 7.4, seen
    ('<c t="b"><f aca="false">FALSE()</f><v>0</v></c>', False),
    ('<c t="d"><v>09:40:00</v></c>', time(9, 40)),
    ('<c t="d"><v>2021-09-10</v></c>', date(2021, 9, 10)),
    ('<c t="d"><v>2021-09-10T09:40:00</v></c>', datetime(2021, 9, 10, 9, 40)),
    ('<c s="1"/>', None),
    ("<c><v/></c>", None),
]


def read_in_one(folder: Path, cells: list[str], styles: str) -> list[Cell]:
    """Return these cells as they are read, each from the first column of a row of its own."""
    rows = [cell + text("end") for cell in cells]
    path = book(folder / "a", {"x": sheet(head("a", "b"), *rows)}, texts=TEXTS, styles=styles)
    return [row.cells[0] for row in everything(path)[1]]


@pytest.fixture(scope="module")
def cells_read(tmp_path_factory: pytest.TempPathFactory) -> list[Cell]:
    return read_in_one(tmp_path_factory.mktemp("cells"), [cell for cell, _ in CELLS], "<cellXfs/>")


@pytest.mark.parametrize("place", range(len(CELLS)), ids=[cell for cell, _ in CELLS])
def test_a_cell(cells_read: list[Cell], place: int) -> None:
    read, value = cells_read[place].value, CELLS[place][1]
    assert (read, type(read)) == (value, type(value))


# Serial numbers of dates: ECMA-376 part 1, 18.17.4.1 (1900 and 1904 date systems), from memory; 44449 is
# 10 September 2021 in LibreOffice Calc 7.4, seen.
NUMBERS: list[tuple[str, str, Value]] = [
    ("yyyy-mm-dd", "44449", date(2021, 9, 10)),
    ("d. mmmm yyyy", "44449", date(2021, 9, 10)),
    ("[$-409]mmm d;@", "44449", date(2021, 9, 10)),
    ("mmm", "44449", date(2021, 9, 10)),
    ("dd/mm/yyyy hh:mm", "44449.402777777781", datetime(2021, 9, 10, 9, 40)),
    ("dd/mm/yyyy", "44449.402777777781", datetime(2021, 9, 10, 9, 40)),
    ("dd/mm/yyyy hh:mm", "44449", datetime(2021, 9, 10)),
    ("hh:mm", "0.40277777777777779", time(9, 40)),
    ("h:mm AM/PM", "0.90277777777777779", time(21, 40)),
    ("hh:mm", "44449.402777777781", time(9, 40)),
    ("mm:ss", "0.5", time(12)),
    ("[h]:mm", "1.0625", "25:30"),
    ("[h]:mm", "0.5", time(12)),
    ("yyyy-mm-dd", "1", date(1900, 1, 1)),
    ("yyyy-mm-dd", "59", date(1900, 2, 28)),
    ("yyyy-mm-dd", "61", date(1900, 3, 1)),
    ("yyyy-mm-dd hh:mm:ss", "44449.999999999", datetime(2021, 9, 11)),
    ("hh:mm", "0.4027777", time(9, 40)),  # 34 799.99 of the 86 400 seconds of a day
    ("00000000", "2030105", "02030105"),
    ("0", "7", 7),
    ("0.00", "7.5", 7.5),
    ("0.0%", "0.071", "7.1%"),
    ('0.0" mg/d"', "7.5", 7.5),
    ("0.0\\d", "7.5", 7.5),
    ("General", "7.5", 7.5),
    ("[Red]0.0;[Blue]-0.0", "7.5", 7.5),
    ("#,##0.00_);[Red]\\(#,##0.00\\)", "7.5", 7.5),
]


@pytest.fixture(scope="module")
def numbers_read(tmp_path_factory: pytest.TempPathFactory) -> list[Cell]:
    codes = [code.replace('"', "&quot;") for code, _, _ in NUMBERS]
    cells = [f'<c s="{place}"><v>{number}</v></c>' for place, (_, number, _) in enumerate(NUMBERS, start=1)]
    return read_in_one(tmp_path_factory.mktemp("numbers"), cells, formats(*codes))


@pytest.mark.parametrize(
    "place", range(len(NUMBERS)), ids=[f"{number} as {code}" for code, number, _ in NUMBERS]
)
def test_a_number_is_what_its_format_shows(numbers_read: list[Cell], place: int) -> None:
    read, value = numbers_read[place].value, NUMBERS[place][2]
    assert (read, type(read)) == (value, type(value))


@pytest.mark.parametrize(
    ("number", "value"),
    [("14", date(2021, 9, 10)), ("22", datetime(2021, 9, 10)), ("9", "4444900%"), ("2", 44449), ("x", 44449)],
)
def test_formats_that_are_known_by_number(tmp_path: Path, number: str, value: Value) -> None:
    styles = f'<cellXfs><xf numFmtId="0"/><xf numFmtId="{number}"/></cellXfs>'
    path = book(tmp_path / "a", {"x": sheet(head("a"), '<c s="1"><v>44449</v></c>')}, styles=styles)
    assert values(path)[1] == [value]


@pytest.mark.parametrize(
    ("code", "written", "value"),
    [
        ("yyyy-mm-dd", "2021-09-10T00:00:00.000Z", date(2021, 9, 10)),
        ("yyyy-mm-dd hh:mm", "2021-09-10T00:00:00", datetime(2021, 9, 10)),
        ("yyyy-mm-dd", "2021-09-10T09:39:59.999", datetime(2021, 9, 10, 9, 40)),
        ("hh:mm", "1899-12-31T09:40:00", time(9, 40)),
    ],
)
def test_dates_that_are_kept_as_text(tmp_path: Path, code: str, written: str, value: Value) -> None:
    # ECMA-376 part 1, 18.17.4: dates and times in the forms of ISO 8601, from memory.
    cells = {"x": sheet(head("a"), f'<c s="1" t="d"><v>{written}</v></c>')}
    assert values(book(tmp_path / "a", cells, styles=formats(code)))[1] == [value]


def test_dates_counted_from_1904(tmp_path: Path) -> None:
    cells = {"x": sheet(head("a"), '<c s="1"><v>0</v></c>', '<c s="1"><v>42987</v></c>')}
    path = book(tmp_path / "a", cells, styles=formats("yyyy-mm-dd"), properties='<workbookPr date1904="1"/>')
    assert values(path)[1:] == [[date(1904, 1, 1)], [date(2021, 9, 10)]]


FAULTS = [
    ("<c><f>A1*2</f><v>7.2</v></c>", "7.2", "formula"),
    ('<c s="1"><f>TODAY()</f><v>44449</v></c>', "2021-09-10", "formula"),
    ('<c t="str"><f t="shared" si="0"/><v>x</v></c>', "x", "formula"),
    ("<c><f>A1*2</f></c>", "", "formula"),
    ('<c t="e"><f>1/0</f><v>#DIV/0!</v></c>', "#DIV/0!", "formula"),
    ('<c t="e"><v>#N/A</v></c>', "#N/A", "holds the error #N/A"),
    ('<c t="s"><v>99</v></c>', "99", "damaged"),
    ('<c t="s"><v>-1</v></c>', "-1", "damaged"),
    ("<c><v>seven</v></c>", "seven", "damaged"),
    ("<c><v>1_0</v></c>", "1_0", "damaged"),
    ("<c><v>inf</v></c>", "inf", "damaged"),
    ('<c t="what"><v>1</v></c>', "1", "damaged"),
    ('<c t="d"><v>10 Sept</v></c>', "10 Sept", "formatted as a date"),
    ('<c s="1"><v>0</v></c>', "0", "formatted as a date"),
    ('<c s="1"><v>60</v></c>', "60", "formatted as a date"),
    ('<c s="1"><v>-7.5</v></c>', "-7.5", "formatted as a date"),
    ('<c s="1"><v>2958466</v></c>', "2958466", "formatted as a date"),
    (f'<c t="inlineStr"><is><t>{"x" * 32_768}</t></is></c>', "x" * 80, "longer than a cell"),
]


@pytest.fixture(scope="module")
def faults_read(tmp_path_factory: pytest.TempPathFactory) -> list[Cell]:
    cells = [cell for cell, _, _ in FAULTS]
    return read_in_one(tmp_path_factory.mktemp("faults"), cells, formats("yyyy-mm-dd"))


@pytest.mark.parametrize("place", range(len(FAULTS)), ids=[cell[:60] for cell, _, _ in FAULTS])
def test_a_cell_that_must_not_be_used(faults_read: list[Cell], place: int) -> None:
    _, shown, told = FAULTS[place]
    assert faults_read[place].text == shown
    assert told in faults_read[place].fault


def test_cells_and_rows_stand_where_they_say(tmp_path: Path) -> None:
    rows = (
        '<row r="2"><c r="B2"><v>1</v></c><c r="D2"><v>2</v></c></row>',
        '<row r="5"><c r="AA5"><v>3</v></c></row><row/><row><c r="A7"><v>4</v></c><c><v>5</v></c></row>',
    )
    path = book(tmp_path / "a", {"x": sheet(*rows, before='<dimension ref="A1:A1"/>')})
    read, below = everything(path, head_row=2)
    assert read == [None, 1, None, 2]
    assert [(row.number, len(row.cells)) for row in below] == [(5, 27), (7, 2)]
    assert [cell.value for cell in below[1].cells] == [4, 5]


def test_the_head_row_must_have_something(tmp_path: Path) -> None:
    path = book(tmp_path / "a", {"x": sheet('<row r="2"><c><v>1</v></c></row>')})
    assert 'Row 1 of the sheet "x"' in why_unreadable(path)
    assert 'Row 3 of the sheet "x"' in why_unreadable(path, head_row=3)


@pytest.mark.parametrize(
    ("wanted", "read"),
    [
        ("two", ["b"]),
        (" TWO ", ["b"]),
        ("kept out of sight", ["c"]),
    ],
)
def test_a_sheet_by_its_name(tmp_path: Path, wanted: str, read: list[Value]) -> None:
    sheets = {"one": sheet(head("a")), "two": sheet(head("b")), "kept out of sight": sheet(head("c"))}
    path = book(tmp_path / "a", sheets, hidden=("kept out of sight",))
    assert everything(path, sheet=wanted)[0] == read
    assert 'no sheet "three"; it has "one", "two", "kept out of sight"' in why_unreadable(path, sheet="three")
    assert '2 sheets with rows: "one", "two"' in why_unreadable(path)


def test_the_only_sheet_with_rows_that_is_shown(tmp_path: Path) -> None:
    sheets = {"lists": sheet(head("z")), "empty": sheet('<c s="1"/>'), "rows": sheet(head("a"))}
    assert everything(book(tmp_path / "a", sheets, hidden=("lists",)))[0] == ["a"]
    path = book(tmp_path / "b", {"lists": sheet(head("z")), "empty": sheet()}, hidden=("lists",))
    assert "Nothing is written in any sheet" in why_unreadable(path)


def test_merged_cells_are_no_empty_cells(tmp_path: Path) -> None:
    number = "<c><v>1</v></c>"
    merged = '<mergeCells count="2"><mergeCell ref="A2:A3"/><mergeCell ref="B4:C4"/></mergeCells>'
    rows = (head("a", "b", "c"), number, '<c r="B3"><v>2</v></c>', number * 2, number * 3)
    _, read = everything(book(tmp_path / "a", {"x": sheet(*rows, behind=merged)}))
    faults = {(row.number, place) for row in read for place, cell in enumerate(row.cells) if cell.fault}
    assert faults == {(3, 0), (4, 2)}
    assert "merged" in read[1].cells[0].fault


def test_the_other_name_space_and_a_prefix(tmp_path: Path) -> None:
    # The strict form of ECMA-376 has name spaces of its own; some programs write a prefix everywhere.
    strict = "http://purl.oclc.org/ooxml/spreadsheetml/main"
    content = (
        f'<x:worksheet xmlns:x="{strict}"><x:sheetData><x:row><x:c t="inlineStr"><x:is><x:t>a</x:t></x:is>'
        "</x:c></x:row><x:row><x:c><x:v>1</x:v></x:c></x:row></x:sheetData><x:mergeCells/></x:worksheet>"
    )
    assert values(book(tmp_path / "a", {"x": content})) == [["a"], [1]]
