"""Workbooks made by hand, part by part, so that a test can say exactly what is in them."""

from collections.abc import Mapping
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZipFile

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
LINKS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE = "http://schemas.openxmlformats.org/package/2006/relationships"
TYPES = "http://schemas.openxmlformats.org/package/2006/content-types"


def sheet(*rows: str, behind: str = "", before: str = "") -> str:
    """Return a sheet; of each row, what stands in it (numbered in turn), or rows with their own elements."""
    numbered = "".join(
        row if row.startswith("<row") else f'<row r="{number}">{row}</row>'
        for number, row in enumerate(rows, start=1)
    )
    return f'<worksheet xmlns="{MAIN}">{before}<sheetData>{numbered}</sheetData>{behind}</worksheet>'


def text(written: str) -> str:
    """Return a cell that holds a text."""
    return f'<c t="inlineStr"><is><t>{written}</t></is></c>'


def head(*names: str) -> str:
    """Return cells that name columns."""
    return "".join(map(text, names))


def book(
    path: Path,
    sheets: Mapping[str, str],
    *,
    texts: str = "",
    styles: str = "",
    hidden: tuple[str, ...] = (),
    properties: str = "",
    more: Mapping[str, str | bytes] | None = None,
    link_mode: str = "",
    packing: int = ZIP_DEFLATED,
) -> Path:
    """Write a workbook with these sheets; ``more`` are parts that are added or put in place of others."""
    parts: dict[str, str | bytes] = {
        "[Content_Types].xml": f'<Types xmlns="{TYPES}"/>',
        "_rels/.rels": links([("officeDocument", "xl/workbook.xml")]),
    }
    targets = [("worksheet", f"worksheets/sheet{place}.xml") for place in range(1, len(sheets) + 1)]
    listed = ""
    for place, (name, content) in enumerate(sheets.items(), start=1):
        state = ' state="hidden"' if name in hidden else ""
        listed += f'<sheet name="{name}" sheetId="{place}"{state} r:id="r{place}"/>'
        parts[f"xl/worksheets/sheet{place}.xml"] = content
    parts["xl/workbook.xml"] = (
        f'<workbook xmlns="{MAIN}" xmlns:r="{LINKS}">{properties}<sheets>{listed}</sheets></workbook>'
    )
    if texts:
        parts["xl/sharedStrings.xml"] = f'<sst xmlns="{MAIN}">{texts}</sst>'
        targets.append(("sharedStrings", "sharedStrings.xml"))
    if styles:
        parts["xl/styles.xml"] = f'<styleSheet xmlns="{MAIN}">{styles}</styleSheet>'
        targets.append(("styles", "styles.xml"))
    parts["xl/_rels/workbook.xml.rels"] = links(targets, link_mode)
    with ZipFile(path, "w", packing) as archive:
        for name, content in {**parts, **(more or {})}.items():
            archive.writestr(name, content)
    return path


def links(targets: list[tuple[str, str]], mode: str = "") -> str:
    """Return the links of a part to others."""
    each = "".join(
        f'<Relationship Id="r{place}" Type="{LINKS}/{kind}" Target="{target}"{mode}/>'
        for place, (kind, target) in enumerate(targets, start=1)
    )
    return f'<Relationships xmlns="{PACKAGE}">{each}</Relationships>'


def formats(*codes: str) -> str:
    """Return styles, one for each format code, after the plain one."""
    named = "".join(
        f'<numFmt numFmtId="{200 + place}" formatCode="{code}"/>' for place, code in enumerate(codes)
    )
    used = "".join(f'<xf numFmtId="{200 + place}"/>' for place in range(len(codes)))
    return f'<numFmts>{named}</numFmts><cellXfs><xf numFmtId="0"/>{used}</cellXfs>'
