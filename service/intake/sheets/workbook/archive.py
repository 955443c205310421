"""The outside of a workbook: a zip archive, looked at before anything in it is unpacked."""

from typing import BinaryIO
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile, ZipInfo

from service.intake.sheets.cell import Unreadable
from service.intake.sheets.kind_of_file import AS_SHEET
from service.intake.sheets.limits import (
    LARGEST_RATIO,
    LARGEST_UNPACKED_BYTES,
    MEBIBYTE,
    MOST_MEMBERS,
    SMALL_UNPACKED_BYTES,
)

CONTENT_TYPES = "[Content_Types].xml"
LOCKED = 0x1
NEW_ONE = "Copy the rows into a new workbook and send that"


def open_book(file: BinaryIO) -> ZipFile:
    """Return the archive of a workbook.

    Raises
    ------
    Unreadable
        It is something else, holds macros, or is made to be far larger than it looks.
    """
    book = ZipFile(file)
    members = book.infolist()
    if len(members) > MOST_MEMBERS:
        raise Unreadable(
            f"The file packs {len(members):,} files; a workbook has at most {MOST_MEMBERS:,}. {NEW_ONE}."
        )
    names = {member.filename for member in members}
    _refuse_other_documents(book, names)
    if len(names) < len(members) or any(map(_is_strange, members)):
        raise Unreadable(f"The workbook is packed in a way no spreadsheet program does. {NEW_ONE}.")
    unpacked = sum(member.file_size for member in members)
    packed = sum(member.compress_size for member in members)
    if unpacked > LARGEST_UNPACKED_BYTES:
        raise Unreadable(
            f"The workbook unpacks to {unpacked // MEBIBYTE:,} MiB; at most "
            f"{LARGEST_UNPACKED_BYTES // MEBIBYTE} are read. Save its rows as .csv, or cut it into parts."
        )
    if unpacked > SMALL_UNPACKED_BYTES and unpacked > LARGEST_RATIO * packed:
        raise Unreadable(
            f"The workbook unpacks to {unpacked // max(packed, 1):,} times its size, which no sheet of "
            f"readings does. {NEW_ONE}."
        )
    return book


def _is_strange(member: ZipInfo) -> bool:
    name = member.filename
    return (
        bool(member.flag_bits & LOCKED)
        or member.compress_type not in (ZIP_STORED, ZIP_DEFLATED)
        or name.startswith("/")
        or "\\" in name
        or ".." in name.split("/")
    )


def _refuse_other_documents(book: ZipFile, names: set[str]) -> None:
    if any(name.lower().endswith("vbaproject.bin") for name in names):
        raise Unreadable(
            "The workbook holds macros (.xlsm), which are not taken. Save it as .xlsx, without macros, or "
            "as .csv."
        )
    if "xl/workbook.bin" in names:
        raise Unreadable(f"The file is a binary workbook (.xlsb). {AS_SHEET}.")
    if CONTENT_TYPES in names and any(name.startswith("xl/") for name in names):
        return
    if "mimetype" in names and "content.xml" in names:
        raise Unreadable(f"The file is an OpenDocument (.ods), which is not read. {AS_SHEET}.")
    if any(name.endswith(".iwa") or name == "Index.zip" for name in names):
        raise Unreadable(f"The file is a .numbers document, which is not read. {AS_SHEET} (export).")
    if any(name.startswith(("word/", "ppt/")) for name in names):
        raise Unreadable("The file is an office document, but no sheet. Copy its table into a spreadsheet.")
    if CONTENT_TYPES not in names:
        raise Unreadable("The file is a packed folder (zip). Unpack it and send the sheet that is inside.")
