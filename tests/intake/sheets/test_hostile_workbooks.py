"""Workbooks made to harm: each is refused in words, quickly, and nothing outside it is ever asked for."""

import struct
from io import BytesIO
from pathlib import Path
from zipfile import ZIP_BZIP2, ZIP_DEFLATED, ZipFile, ZipInfo

import pytest

from service.intake.sheets.cell import Unreadable
from service.intake.sheets.workbook import parts, sheet_rows
from service.intake.sheets.workbook.child import frames
from tests.intake.sheets.reading import everything, values, why_unreadable
from tests.intake.sheets.workbooks import MAIN, PACKAGE, TYPES, book, head, links, sheet, text

LAUGHS = '<!DOCTYPE x [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>'
OUTSIDE = '<!DOCTYPE x SYSTEM "http://192.0.2.1/x.dtd">'  # an address of RFC 5737, which nobody has
SHEET = sheet(text("&b;"))
PARTS = {
    "xl/worksheets/sheet1.xml": SHEET,
    "xl/sharedStrings.xml": f'<sst xmlns="{MAIN}"><si><t>&b;</t></si></sst>',
    "xl/styles.xml": f'<styleSheet xmlns="{MAIN}"/>',
    "xl/workbook.xml": f'<workbook xmlns="{MAIN}"/>',
    "xl/_rels/workbook.xml.rels": f'<Relationships xmlns="{PACKAGE}"/>',
    "_rels/.rels": f'<Relationships xmlns="{PACKAGE}"/>',
    "[Content_Types].xml": f'<Types xmlns="{TYPES}"/>',
}
USED = {"x": sheet('<c t="s"><v>0</v></c>')}


def refused(path: Path) -> str:
    """Return why a workbook is refused; read in this process, for the child adds only its limits."""
    with pytest.raises(Unreadable) as found, path.open("rb") as file:
        list(frames(file, None, None))
    return found.value.message


@pytest.mark.parametrize("declared", [LAUGHS, OUTSIDE, "<!DOCTYPE x>"])
@pytest.mark.parametrize("part", PARTS)
def test_no_part_may_declare_anything(tmp_path: Path, part: str, declared: str) -> None:
    content = f"<?xml version='1.0'?>{' ' * 5000}<!-- a -->{declared}{PARTS[part]}"
    path = book(tmp_path / "a", USED, texts="<si/>", styles="<x/>", more={part: content})
    assert "declaration (DTD)" in refused(path)


def test_nor_in_other_letters(tmp_path: Path) -> None:
    content = f"<?xml version='1.0' encoding='utf-16'?>{LAUGHS}{SHEET}".encode("utf-16")
    assert "declaration (DTD)" in why_unreadable(
        book(tmp_path / "a", USED, more={"xl/worksheets/sheet1.xml": content})
    )


def test_an_entity_that_is_not_declared_is_no_text(tmp_path: Path) -> None:
    path = book(tmp_path / "a", {"x": SHEET})
    assert "damaged" in why_unreadable(path)


@pytest.mark.parametrize(
    ("members", "told"),
    [
        ({"xl/media/a.bin": b"\0" * 32_000_000}, "times its size"),
        ({f"xl/media/{number}": b"" for number in range(2_001)}, "at most 2,000"),
        ({"xl/../../etc/passwd": b""}, "packed in a way"),
        ({"/etc/passwd": b""}, "packed in a way"),
        ({"xl\\..\\a": b""}, "packed in a way"),
        ({"xl/VBAPROJECT.BIN": b""}, "macros"),
    ],
)
def test_what_is_packed_is_looked_at_first(tmp_path: Path, members: dict[str, bytes], told: str) -> None:
    path = book(tmp_path / "a", USED, more=members)
    if "\\" in next(iter(members)):  # ZipInfo makes a slash of it when it writes
        path.write_bytes(path.read_bytes().replace(b"xl/../a", b"xl\\..\\a"))
    assert told in refused(path)


def test_a_part_that_unpacks_to_more_than_is_read(tmp_path: Path) -> None:
    # Only the directory says so; nothing is unpacked to find it out.
    path = book(tmp_path / "a", USED)
    lie_about_size(path, "xl/workbook.xml", 600 * 1_048_576)
    assert "unpacks to 600 MiB" in refused(path)


def test_a_part_that_is_larger_than_it_says(tmp_path: Path) -> None:
    path = book(tmp_path / "a", {"x": sheet(head("a"), *["<c><v>1</v></c>"] * 10_000)})
    lie_about_size(path, "xl/worksheets/sheet1.xml", 1_000)
    assert "damaged" in why_unreadable(path)


def test_a_part_that_is_there_twice(tmp_path: Path) -> None:
    path = book(tmp_path / "a", USED)
    with pytest.warns(UserWarning, match="Duplicate name"), ZipFile(path, "a") as archive:
        archive.writestr("xl/workbook.xml", "<workbook/>")
    assert "packed in a way" in refused(path)


def test_a_part_that_is_packed_otherwise_or_locked(tmp_path: Path) -> None:
    path = book(tmp_path / "a", USED)
    with ZipFile(path, "a") as archive:
        archive.writestr(ZipInfo("xl/a"), b"", compress_type=ZIP_BZIP2)
    assert "packed in a way" in refused(path)
    path = book(tmp_path / "b", USED)
    content = bytearray(path.read_bytes())
    content[content.find(b"PK\x01\x02") + 8] |= 1
    path.write_bytes(content)
    assert "packed in a way" in refused(path)


@pytest.mark.parametrize("kept", [4, 100, 0.5, 0.99])
def test_a_workbook_that_is_cut_off(tmp_path: Path, kept: float) -> None:
    path = book(tmp_path / "a", USED)
    content = path.read_bytes()
    path.write_bytes(content[: int(kept if kept > 1 else kept * len(content))])
    assert "damaged" in why_unreadable(path)


def test_a_workbook_of_the_kind_that_holds_macros(tmp_path: Path) -> None:
    kind = "application/vnd.ms-excel.sheet.macroEnabled.main+xml"
    types = f'<Types xmlns="{TYPES}"><Override PartName="/xl/workbook.xml" ContentType="{kind}"/></Types>'
    assert "macros (.xlsm)" in refused(book(tmp_path / "a", USED, more={"[Content_Types].xml": types}))


def test_links_that_lead_outside_are_not_followed(tmp_path: Path) -> None:
    path = book(tmp_path / "a", {"x": sheet(head("a"))}, link_mode=' TargetMode="External"')
    assert "Nothing is written" in refused(path)
    for target in ("http://192.0.2.1/sheet1.xml", "../../../etc/passwd", "file:///etc/passwd"):
        more = {"xl/_rels/workbook.xml.rels": links([("worksheet", target)])}
        assert "Nothing is written" in refused(book(tmp_path / "a", {"x": sheet(head("a"))}, more=more))
    whole = {
        "xl/_rels/workbook.xml.rels": links([("worksheet", "/xl/worksheets/sheet1.xml")])
    }  # within it: as some write
    assert values(book(tmp_path / "a", {"x": sheet(head("a"))}, more=whole)) == [["a"]]


def test_a_cell_in_the_last_corner(tmp_path: Path) -> None:
    corner = '<row r="1048576"><c r="A1048576"><v>1</v></c><c r="XFD1048576"><v>2</v></c></row>'
    alone = '<row r="1048575"><c r="XFD1048575"><v>2</v></c></row>'
    path = book(tmp_path / "a", {"x": sheet(head("a"), alone + corner)})
    rows = everything(path)[1]
    assert [(row.number, len(row.cells)) for row in rows] == [(1048575, 1), (1048576, 1)]
    assert all("right of column 1,000" in cell.fault for row in rows for cell in row.cells)


@pytest.mark.parametrize(
    "row",
    [
        '<row r="1048577"><c><v>1</v></c></row>',
        '<row r="1"><c><v>1</v></c></row><row r="1"><c><v>1</v></c></row>',
        '<row r="2"><c r="AAAA2"><v>1</v></c></row>',
        '<row r="2"><c r="2"><v>1</v></c></row>',
        '<row r="2"><c r="é2"><v>1</v></c></row>',
    ],
)
def test_places_that_there_are_not(tmp_path: Path, row: str) -> None:
    assert "it is damaged" in refused(book(tmp_path / "a", {"x": sheet(row)}))


def test_limits_of_what_is_given(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    # One long text that a thousand cells share is small in the file, and large where it is read.
    texts = f"<si><t>{'x' * 30_000}</t></si>"
    rows = ['<c t="s"><v>0</v></c>'] * 100
    path = book(tmp_path / "a", {"x": sheet(head("a"), *rows)}, texts=texts, styles="<x/>")
    with monkeypatch.context() as patch:
        patch.setattr(sheet_rows, "MOST_TEXT", 2_000_000)
        assert "letters are read" in refused(path)
    with monkeypatch.context() as patch:
        patch.setattr(sheet_rows, "MOST_CELLS", 50)
        assert "at most 50 cells" in refused(path)
    with monkeypatch.context() as patch:
        patch.setattr(parts, "LARGEST_PART_BYTES", 100)
        assert "far too large" in refused(path)


def test_more_sheets_and_merged_cells_than_are_read(tmp_path: Path) -> None:
    merged = "".join(f'<mergeCell ref="A{number}:B{number}"/>' for number in range(1, 2_002))
    content = sheet(text("a"), behind=f"<mergeCells>{merged}</mergeCells>")
    assert "2,000 merged cells" in refused(book(tmp_path / "a", {"x": content}))
    many = {f"s{number}": sheet() for number in range(257)}
    assert "at most 256" in refused(book(tmp_path / "b", many))


def test_sheets_that_are_all_the_same_part(tmp_path: Path) -> None:
    # A small file in which a large part is read over and over.
    one_part = links([("worksheet", "worksheets/sheet1.xml"), ("worksheet", "worksheets/sheet1.xml")])
    sheets = {"a": sheet(head("a")), "b": sheet()}
    path = book(tmp_path / "a", sheets, more={"xl/_rels/workbook.xml.rels": one_part})
    assert "Two sheets of the workbook are one" in refused(path)


def test_a_zip_in_a_zip_is_a_packed_folder(tmp_path: Path) -> None:
    inner = BytesIO()
    with ZipFile(inner, "w", ZIP_DEFLATED) as archive:
        archive.writestr("a.csv", "a")
    with ZipFile(tmp_path / "a", "w") as archive:
        archive.writestr("b.zip", inner.getvalue())
    assert "packed folder" in why_unreadable(tmp_path / "a")


def lie_about_size(path: Path, name: str, size: int) -> None:
    """Write another size of a part into the directory of a zip archive and before the part itself."""
    content = bytearray(path.read_bytes())
    packed = struct.pack("<I", size)
    for mark, place in ((b"PK\x01\x02", 24), (b"PK\x03\x04", 22)):
        begin = 0
        while (begin := content.find(mark, begin)) >= 0:
            name_begin = begin + (46 if mark == b"PK\x01\x02" else 30)
            if content[name_begin : name_begin + len(name)] == name.encode():
                content[begin + place : begin + place + 4] = packed
            begin += 4
    path.write_bytes(content)
