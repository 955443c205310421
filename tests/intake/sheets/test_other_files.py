"""Files that are no sheet: each is named, with what to do. First bytes: public signatures."""

from io import BytesIO
from pathlib import Path
from zipfile import ZipFile

import pytest

from tests.intake.sheets.reading import why_unreadable, written

OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600)


def packed(**members: str) -> bytes:
    file = BytesIO()
    with ZipFile(file, "w") as archive:
        for name, text in members.items():
            archive.writestr(name.replace("__", "/"), text)
    return file.getvalue()


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (b"%PDF-1.7\n", "a PDF"),
        (b"\x89PNG\r\n\x1a\n", "a picture"),
        (b"\xff\xd8\xff\xe0", "a picture"),
        (b"\0\0\0\x18ftypheic", "a picture"),
        (b"\x1f\x8b\x08", "packed (gzip)"),
        (b"SQLite format 3\0", "a database"),
        (b"PAR1\x15\x04", "a Parquet table"),
        (b"{\\rtf1", "a text document"),
        (b"\xef\xbb\xbf\r\n<HTML><table>", "a web page"),
        (b'<?xml version="1.0"?><Workbook/>', "a web page or XML"),
        (OLE + "Workbook".encode("utf-16-le"), "the old form (.xls)"),
        (OLE + "EncryptedPackage".encode("utf-16-le"), "locked with a password"),
        (OLE, "an office document in an old form"),
        (packed(**{"a.csv": "a,b"}), "a packed folder (zip)"),
        (packed(), "a packed folder (zip)"),
        (packed(mimetype="application/vnd.oasis.opendocument.spreadsheet", **{"content.xml": ""}), "(.ods)"),
        (packed(**{"Index__Document.iwa": ""}), ".numbers"),
        (packed(**{"[Content_Types].xml": "", "word__document.xml": ""}), "an office document, but no sheet"),
        (packed(**{"[Content_Types].xml": "", "xl__workbook.bin": ""}), "(.xlsb)"),
        (packed(**{"[Content_Types].xml": "", "xl__vbaProject.bin": ""}), "(.xlsm)"),
    ],
)
def test_what_is_no_sheet_is_refused_by_name(tmp_path: Path, content: bytes, told: str) -> None:
    # The names of the files say .csv and .xlsx in turn: they are not believed.
    assert told in why_unreadable(written(tmp_path / "visits.csv", content))
    assert told in why_unreadable(written(tmp_path / "visits.xlsx", content))


def test_a_column_may_be_called_like_the_mark_of_another_format(tmp_path: Path) -> None:
    why = why_unreadable(written(tmp_path / "a", "PAR1,PAR2"), head_row=2)
    assert "Row 2" in why
