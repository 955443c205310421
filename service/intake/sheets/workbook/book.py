"""The sheets of a workbook, and what is needed to read their cells."""

from dataclasses import dataclass
from posixpath import join, normpath
from zipfile import ZipFile

from service.intake.sheets.cell import Unreadable
from service.intake.sheets.limits import MOST_SHEETS
from service.intake.sheets.workbook.archive import CONTENT_TYPES
from service.intake.sheets.workbook.number_form import NumberForm, number_forms
from service.intake.sheets.workbook.parts import Element, local, whole_part
from service.intake.sheets.workbook.shared_texts import SharedTexts

TRUE = ("1", "true", "on")


@dataclass(frozen=True, slots=True)
class SheetPart:
    """A sheet: its name, where it is kept, and whether a person has to look for it."""

    name: str
    part: str
    hidden: bool


@dataclass(frozen=True, slots=True)
class Book:
    """A workbook."""

    archive: ZipFile
    sheets: tuple[SheetPart, ...]
    forms: list[NumberForm]
    texts: SharedTexts
    from_1904: bool


def read_book(archive: ZipFile) -> Book:
    """Return what a workbook says of itself; links that lead out of it are not followed."""
    main = next(iter(_linked(archive, "", "officeDocument").values()), "xl/workbook.xml")
    _refuse_macros(archive)
    workbook = whole_part(archive, main)
    worksheets = _linked(archive, main, "worksheet")
    sheets = tuple(
        SheetPart(one.get("name", ""), part, one.get("state", "visible") != "visible")
        for one in workbook.iterfind("{*}sheets/{*}sheet")
        if (part := worksheets.get(_link_of(one)))
    )
    if len(sheets) > MOST_SHEETS:
        raise Unreadable(
            f"The workbook has {len(sheets):,} sheets; at most {MOST_SHEETS} are read. Cut it into parts."
        )
    if len({one.part for one in sheets}) < len(sheets):
        raise Unreadable("Two sheets of the workbook are one: it is damaged. Open it and save it anew.")
    properties = workbook.find("{*}workbookPr")
    styles = next(iter(_linked(archive, main, "styles").values()), "")
    texts = next(iter(_linked(archive, main, "sharedStrings").values()), "")
    return Book(
        archive,
        sheets,
        number_forms(whole_part(archive, styles) if styles else None),
        SharedTexts(archive, texts),
        properties is not None and properties.get("date1904", "0") in TRUE,
    )


def _linked(archive: ZipFile, part: str, kind: str) -> dict[str, str]:
    """Return the parts of a kind that another part links to within the workbook, by the link's name."""
    folder, _, name = part.rpartition("/")
    links = join(folder, "_rels", f"{name}.rels")
    if links not in archive.namelist():
        return {}
    found = {}
    for link in whole_part(archive, links):
        if link.get("Type", "").rpartition("/")[2] == kind and link.get("TargetMode") != "External":
            target = normpath(join("/", folder, link.get("Target", ""))).lstrip("/")
            if target in archive.namelist():
                found[link.get("Id", "")] = target
    return found


def _link_of(sheet: Element) -> str:
    return next((value for name, value in sheet.attrib.items() if local(name) == "id"), "")


def _refuse_macros(archive: ZipFile) -> None:
    for one in whole_part(archive, CONTENT_TYPES):
        if "macroenabled" in one.get("ContentType", "").casefold():
            raise Unreadable(
                "The workbook is of the kind that holds macros (.xlsm), which is not taken. Save it as "
                ".xlsx or .csv."
            )
