"""What a file is by its first bytes, whatever its name says."""

from enum import StrEnum
from pathlib import Path

from service.intake.sheets.cell import Unreadable

BEGINNING_BYTES = 4096
OLE_SCANNED_BYTES = 1_048_576
AS_SHEET = "Open it in a spreadsheet program and save it as .xlsx or .csv"
ENCRYPTED, OLD_BOOK = "EncryptedPackage".encode("utf-16-le"), "Workbook".encode("utf-16-le")
OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
OTHERS = (
    (b"%PDF", "a PDF", "Send the sheet that it was made from, as .xlsx or .csv"),
    (b"\x89PNG", "a picture", "A picture cannot be read; type the numbers into the template"),
    (b"\xff\xd8\xff", "a picture", "A picture cannot be read; type the numbers into the template"),
    (b"GIF8", "a picture", "A picture cannot be read; type the numbers into the template"),
    (b"II*\0", "a picture", "A picture cannot be read; type the numbers into the template"),
    (b"MM\0*", "a picture", "A picture cannot be read; type the numbers into the template"),
    (b"\x1f\x8b", "packed (gzip)", "Unpack it and send the file that is inside"),
    (b"7z\xbc\xaf", "packed (7z)", "Unpack it and send the file that is inside"),
    (b"Rar!\x1a", "packed (rar)", "Unpack it and send the file that is inside"),
    (b"SQLite format 3\0", "a database", "Export the table as .csv and send that"),
    (b"PAR1\x15", "a Parquet table", "Export the table as .csv and send that"),
    (b"{\\rtf", "a text document", "Copy its table into a spreadsheet and save that as .xlsx or .csv"),
)
PAGES = (b"<html", b"<!doctype html", b"<?xml", b"<table", b"<meta")
PICTURES = (b"heic", b"heix", b"mif1", b"avif")


class FileKind(StrEnum):
    """The two kinds of file that are read."""

    TEXT = "text"
    WORKBOOK = "workbook"


def kind_of_file(path: Path) -> FileKind:
    """Return what a file is: text, or packed as a workbook is (which its reader then makes sure of).

    Raises
    ------
    Unreadable
        It is empty, or something else, which is named with what to do.
    """
    with path.open("rb") as file:
        begin = file.read(BEGINNING_BYTES)
    if not begin.strip(b"\xef\xbb\xbf \t\r\n"):
        raise Unreadable("The file is empty.")
    if begin.startswith((b"PK\x03\x04", b"PK\x05\x06", b"PK\x07\x08")):
        return FileKind.WORKBOOK
    if begin.startswith(OLE):
        raise _old_or_locked(path)
    for mark, name, cure in OTHERS:
        if begin.startswith(mark):
            raise Unreadable(f"The file is {name}, not a sheet. {cure}.")
    if begin[4:8] == b"ftyp" and begin[8:12] in PICTURES:
        raise Unreadable("The file is a picture, not a sheet. Type the numbers into the template.")
    if begin.lstrip(b"\xef\xbb\xbf \t\r\n").lower().startswith(PAGES):
        raise Unreadable(f"The file is a web page or XML, whatever its name says. {AS_SHEET}.")
    return FileKind.TEXT


def _old_or_locked(path: Path) -> Unreadable:
    with path.open("rb") as file:
        begin = file.read(OLE_SCANNED_BYTES)
        file.seek(max(path.stat().st_size - OLE_SCANNED_BYTES, 0))
        content = begin + file.read(OLE_SCANNED_BYTES)
    if ENCRYPTED in content:
        return Unreadable(
            "The workbook is locked with a password. Open it, take the password away, and save it as .xlsx."
        )
    if OLD_BOOK in content or "Book".encode("utf-16-le") in content:
        return Unreadable(
            f"The file is a workbook in the old form (.xls), whatever its name says. {AS_SHEET}."
        )
    return Unreadable(f"The file is an office document in an old form. {AS_SHEET}.")
