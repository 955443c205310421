"""Workbooks that are odd in what is not needed to read their cells: each opens, and says the same.

Most are refused whole by openpyxl 3.1.5. That programs write them is told in public reports of pandas: issues
33853 and 49493 (INF and NaN as numbers), 40499 (empty fill), 47401 (a margin that is no number) and 39001 (a
sheet that says it is A1); the strict form is one of the two of ECMA-376. The others are as odd, and our own.
"""

import re
from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path
from zipfile import ZipFile

import pytest
import xlsxwriter

from tests.intake.sheets.reading import everything, values

Parts = dict[str, bytes]
Change = Callable[[Parts], Parts]
SHEET, STYLES, BOOK = "xl/worksheets/sheet1.xml", "xl/styles.xml", "xl/workbook.xml"
TYPES, LINKS, CORE = "[Content_Types].xml", "xl/_rels/workbook.xml.rels", "docProps/core.xml"
READ = [["site", "visited", "pH"], ["Reed", datetime(2024, 2, 29, 9, 40), 7.1], ["Mill", date(2024, 3, 1), 8]]


@pytest.fixture(scope="module")
def plain(tmp_path_factory: pytest.TempPathFactory) -> Parts:
    path = tmp_path_factory.mktemp("plain") / "a"
    with xlsxwriter.Workbook(str(path)) as made:
        page = made.add_worksheet("visits")
        page.write_row(0, 0, ["site", "visited", "pH"])
        page.write_row(1, 0, ["Reed"])
        page.write(1, 1, datetime(2024, 2, 29, 9, 40), made.add_format({"num_format": "dd/mm/yyyy hh:mm"}))
        page.write(1, 2, 7.1)
        page.write_row(2, 0, ["Mill"])
        page.write(2, 1, date(2024, 3, 1), made.add_format({"num_format": "yyyy-mm-dd"}))
        page.write(2, 2, 8)
    with ZipFile(path) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def packed(path: Path, parts: Parts) -> Path:
    with ZipFile(path, "w") as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    return path


def put(part: str, pattern: str, text: str) -> Change:
    """Return a change of the first place in a part that fits a pattern."""

    def change(parts: Parts) -> Parts:
        changed, count = re.subn(pattern.encode(), text.encode(), parts[part], count=1)
        assert count == 1
        return {**parts, part: changed}

    return change


def before_margins(text: str) -> Change:
    return put(SHEET, "<pageMargins", f"{text}<pageMargins")


def strict(parts: Parts) -> Parts:
    """Return a workbook in the strict form, which has name spaces of its own."""
    for_main = (
        b"schemas.openxmlformats.org/spreadsheetml/2006/main",
        b"purl.oclc.org/ooxml/spreadsheetml/main",
    )
    for_links = b"schemas.openxmlformats.org/officeDocument/2006", b"purl.oclc.org/ooxml/officeDocument"
    return {
        name: content.replace(*for_main).replace(*for_links) if name.endswith(("xml", "rels")) else content
        for name, content in parts.items()
    }


def styles_elsewhere(parts: Parts) -> Parts:
    """Return a workbook that keeps its formats under a name of its own."""
    named = {"xl/formats.xml" if name == STYLES else name: content for name, content in parts.items()}
    return {**named, **{name: named[name].replace(b"styles.xml", b"formats.xml") for name in (TYPES, LINKS)}}


ODD: dict[str, Change] = {
    "nothing odd": dict,
    "strict": strict,
    "formats under another name": styles_elsewhere,
    "parts without types": lambda parts: {**parts, TYPES: b"<Types/>"},
    "empty fill": put(STYLES, "<fill>.*?</fill>", "<fill/>"),
    "family of a font": put(STYLES, '<family val="2"/>', '<family val="34"/>'),
    "colour of a font": put(STYLES, '<color theme="1"/>', '<color rgb="FF00"/>'),
    "alignment": put(STYLES, r'(<xf numFmtId="164"[^>]*)/>', r'\1><alignment horizontal="middle"/></xf>'),
    "margin": put(SHEET, 'left="0.7"', 'left=""'),
    "zoom": put(SHEET, "<sheetView ", '<sheetView zoomScale="NaN" '),
    "window": put(BOOK, 'xWindow="[0-9]+"', 'xWindow="0.5"'),
    "size of the sheet": put(SHEET, "<dimension[^>]*/>", '<dimension ref="A1"/>'),
    "date of making": put(CORE, "[0-9-]+T[0-9:]+Z", "10 Sept 2021"),
    "choice list": before_margins(
        '<dataValidations><dataValidation type="list" id="1" sqref="A2"/></dataValidations>'
    ),
    "colour by value": before_margins(
        '<conditionalFormatting sqref="C2"><cfRule type="cellIs" operator="odd"/></conditionalFormatting>'
    ),
}


@pytest.mark.parametrize("odd", ODD)
def test_an_odd_workbook_says_the_same(tmp_path: Path, plain: Parts, odd: str) -> None:
    assert values(packed(tmp_path / "a", ODD[odd](plain))) == READ


@pytest.mark.parametrize("written", ["NaN", "INF"])
def test_a_number_that_is_none_costs_its_cell_only(tmp_path: Path, plain: Parts, written: str) -> None:
    path = packed(tmp_path / "a", put(SHEET, "<v>7.1</v>", f"<v>{written}</v>")(plain))
    _, rows = everything(path)
    assert [[cell.fault != "" for cell in row.cells] for row in rows] == [[False, False, True], [False] * 3]
