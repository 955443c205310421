"""Sheets as large as one likes: invented readings, as text and as a workbook with shared texts and dates."""

import csv
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZipFile

COLUMNS = 20
HEAD = ["site", "date", "team", "note", *(f"reading {number}" for number in range(COLUMNS - 4))]
FIRST_DAY = date(2001, 3, 1)
EPOCH = date(1899, 12, 30)
MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
LINKS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE = "http://schemas.openxmlformats.org/package/2006/relationships"
TYPES = "http://schemas.openxmlformats.org/package/2006/content-types"
SHEET_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml"


def rows(count: int) -> Iterator[tuple[str, date, str, str, list[str]]]:
    """Give invented rows, the same each time: site, day, team, note and the readings as written."""
    for row in range(count):
        readings = [f"{(row * 37 + column * 101) % 1400 / 100:.2f}" for column in range(COLUMNS - 4)]
        day = FIRST_DAY + timedelta(row % 8000)
        yield f"SITE-{row % 500:03}", day, f"team {row % 30}", f"note of row {row}", readings


def write_csv(path: Path, count: int) -> None:
    """Write the rows as text."""
    with path.open("w", encoding="utf-8", newline="") as file:
        sheet = csv.writer(file)
        sheet.writerow(HEAD)
        for site, day, team, note, readings in rows(count):
            sheet.writerow([site, day.isoformat(), team, note, *readings])


def write_xlsx(path: Path, count: int) -> None:
    """Write the rows as a workbook: numbers, a real date, and texts in the shared table."""
    with ZipFile(path, "w", ZIP_DEFLATED, compresslevel=3) as book:
        for name, text in _frame().items():
            book.writestr(name, text)
        texts: dict[str, int] = {}
        with book.open("xl/worksheets/sheet1.xml", "w") as part:
            part.write(f'<?xml version="1.0"?><worksheet xmlns="{MAIN}"><sheetData>'.encode())
            part.write(_row(1, [_text(name, texts) for name in HEAD]))
            for number, (site, day, team, note, readings) in enumerate(rows(count), start=2):
                cells = [_text(site, texts), f'<c s="1"><v>{(day - EPOCH).days}</v></c>']
                cells += [_text(team, texts), _text(note, texts)]
                part.write(_row(number, cells + [f"<c><v>{one}</v></c>" for one in readings]))
            part.write(b"</sheetData></worksheet>")
        with book.open("xl/sharedStrings.xml", "w") as part:
            part.write(f'<?xml version="1.0"?><sst xmlns="{MAIN}">'.encode())
            for text in texts:
                part.write(f"<si><t>{text}</t></si>".encode())
            part.write(b"</sst>")


def _row(number: int, cells: list[str]) -> bytes:
    named = "".join(f'<c r="{chr(ord("A") + place)}{number}"{cell[2:]}' for place, cell in enumerate(cells))
    return f'<row r="{number}">{named}</row>'.encode()


def _text(text: str, texts: dict[str, int]) -> str:
    return f'<c t="s"><v>{texts.setdefault(text, len(texts))}</v></c>'


def _frame() -> dict[str, str]:
    kinds = ("worksheet", "worksheets/sheet1"), ("styles", "styles"), ("sharedStrings", "sharedStrings")
    links = "".join(
        f'<Relationship Id="r{place}" Type="{LINKS}/{kind}" Target="{target}.xml"/>'
        for place, (kind, target) in enumerate(kinds, start=1)
    )
    parts = (
        ("workbook", "sheet.main"),
        ("worksheets/sheet1", "worksheet"),
        ("styles", "styles"),
        ("sharedStrings", "sharedStrings"),
    )
    overrides = "".join(
        f'<Override PartName="/xl/{name}.xml" ContentType="{SHEET_TYPE}.{kind}+xml"/>' for name, kind in parts
    )
    return {
        "[Content_Types].xml": f'<Types xmlns="{TYPES}"><Default Extension="rels" ContentType='
        f'"application/vnd.openxmlformats-package.relationships+xml"/>{overrides}</Types>',
        "_rels/.rels": f'<Relationships xmlns="{PACKAGE}">'
        f'<Relationship Id="r1" Type="{LINKS}/officeDocument" Target="xl/workbook.xml"/></Relationships>',
        "xl/workbook.xml": f'<workbook xmlns="{MAIN}" xmlns:r="{LINKS}"><sheets>'
        '<sheet name="rows" sheetId="1" r:id="r1"/></sheets></workbook>',
        "xl/_rels/workbook.xml.rels": f'<Relationships xmlns="{PACKAGE}">{links}</Relationships>',
        "xl/styles.xml": f'<styleSheet xmlns="{MAIN}"><fonts><font/></fonts>'
        "<fills><fill><patternFill/></fill></fills><borders><border/></borders><cellStyleXfs><xf/></cellStyleXfs>"
        '<cellXfs><xf/><xf numFmtId="14" applyNumberFormat="1"/></cellXfs></styleSheet>',
    }
