"""Text files as programs and people write them. Common practice where no source is named."""

from pathlib import Path

import pytest

from service.intake.sheets.text import read_text
from tests.intake.sheets.reading import everything, values, why_unreadable, written

PLAIN = [["site", "pH"], ["A", "7.1"], ["B", "7.2"]]


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("sign", [",", ";", "\t"])
@pytest.mark.parametrize("begin", ["", "\ufeff"])
def test_line_ends_separators_and_the_mark_of_utf_8(tmp_path: Path, end: str, sign: str, begin: str) -> None:
    text = begin + end.join(sign.join(row) for row in [["site", "pH"], ["A", "7.1"], ["B", "7.2"]])
    assert values(written(tmp_path / "a", text), wanted=["pH"]) == PLAIN


@pytest.mark.parametrize(
    ("codec", "declared"),
    [
        ("utf-8", "utf-8"),
        ("utf-8-sig", "latin-1"),  # a mark in the file is stronger than what is said of it
        ("latin-1", "latin-1"),
        ("latin-1", "windows-1252"),
        ("windows-1252", "windows-1252"),
        ("utf-16", "utf-8"),
        ("utf-16-le", "utf-16"),
        ("utf-16-be", "utf-16"),
    ],
)
def test_encodings(tmp_path: Path, codec: str, declared: str) -> None:
    path = written(tmp_path / "a", "site,°C\nMühle,7".encode(codec))
    assert values(path, encoding=declared) == [["site", "°C"], ["Mühle", "7"]]


@pytest.mark.parametrize(
    ("content", "declared", "told"),
    [
        (b"a\n1\n2 \xb0C", "utf-8", ("byte 7, in line 3, is 0xB0", 'encoding = "windows-1252"')),
        (b"a\r\n1\r2 \xb0C", "utf-8", ("byte 8, in line 3,",)),
        (b"\xef\xbb\xbfa\n\xb0", "utf-8", ("not written in utf-8: byte 6, in line 2, is 0xB0",)),
        (b"x" * 1_048_575 + b"\xc2\n", "utf-8", ("byte 1048576, in line 1, is 0xC2",)),
        (b"a,\xc3", "utf-8", ("byte 3, in line 1, is 0xC3",)),
        (b"a\n\x93b\x94", "latin-1", ("byte 3, in line 2, is 0x93", 'encoding = "windows-1252"')),
        (b"a\n\x81", "windows-1252", ("byte 3, in line 2, is 0x81",)),
        ("a\n°".encode(), "latin-1", ("said to be latin-1, but its letters are those of UTF-8",)),
        ("a\n°".encode(), "windows-1252", ('encoding = "utf-8"',)),
        ("a\n1".encode("utf-16-le"), "utf-8", ("NUL", "line 1", 'encoding = "utf-16"')),
        (b"a\n1\n\0", "utf-8", ("NUL", "line 3")),
        (b"a\nb\n\x00", "utf-16", ("not written in utf-16", "byte 5, in line 1, is 0x00")),
        (b"\xff\xfe\0\0a\0\0\0", "utf-8", ("UTF-32",)),
    ],
)
def test_an_encoding_that_is_not_the_file_s_is_refused(
    tmp_path: Path, content: bytes, declared: str, told: tuple[str, ...]
) -> None:
    why = why_unreadable(written(tmp_path / "a", content), encoding=declared)
    assert all(one in why for one in told), why


def test_a_letter_that_is_cut_by_a_chunk_is_read(tmp_path: Path) -> None:
    # The check reads a mebibyte at a time; the degree sign has one byte on either side of the cut.
    line = "x" * 63 + "\n"
    text = line * (1_048_576 // 64 - 1) + "x" * 63 + "°"
    assert values(written(tmp_path / "a", text))[-1] == ["x" * 63 + "°"]


@pytest.mark.parametrize(
    ("text", "wanted", "found"),
    [
        ("date;pH, field\n1;7,1", ["date"], ["date", "pH, field"]),
        ("date;pH, field\n1;7,1", ["PH,  field", "date"], ["date", "pH, field"]),
        ("a\tb;c,d", [2], None),
        ("a,b;c", [3], None),
        ("a,b;c,d", [3], ["a", "b;c", "d"]),
        ("a;b\tc", ["a"], ["a", "b\tc"]),
        ("a\tb", [], ["a", "b"]),
        ("only one column\n1;2", [], ["only one column"]),
        ("sep=;\na;b,c", [], ["a", "b,c"]),
        ('"sep=;"\r\na;b,c', [], ["a", "b,c"]),
        ("sep=\t\na\tb,c", [], ["a", "b,c"]),
        ("SEP=;;;\na;b;c", [], ["a", "b", "c"]),
        ('"a;b"\tc', ["a;b"], ["a;b", "c"]),
        ("a;b,c", [], None),
    ],
)
def test_the_separator_is_the_one_with_the_wanted_columns(
    tmp_path: Path, text: str, wanted: list[str | int], found: list[str] | None
) -> None:
    path = written(tmp_path / "a", text)
    if found is None:
        assert "could be parted by" in why_unreadable(path, wanted)
    else:
        assert everything(path, wanted)[0] == found


def test_a_separator_that_is_given_is_taken(tmp_path: Path) -> None:
    assert values(written(tmp_path / "a", "a;b,c\n1;2"), separator="comma") == [["a;b", "c"], ["1;2"]]


def test_what_stands_in_cells_is_kept(tmp_path: Path) -> None:
    text = 'a,b,c,a,\n"1\n2", 007 ,"say ""x"", y",=1+1,\n'
    assert values(written(tmp_path / "a", text)) == [
        ["a", "b", "c", "a", None],
        ["1\n2", " 007 ", 'say "x", y', "=1+1", None],
    ]


def test_blanks_behind_a_closing_mark_are_no_harm(tmp_path: Path) -> None:
    text = '"a","b" \r\n"1" ,"2\r\n3" \r\n4,"5" ,\r\n'
    assert values(written(tmp_path / "a", text)) == [["a", "b"], ["1", "2\r\n3"], ["4", "5"]]


def test_rows_are_numbered_as_a_spreadsheet_numbers_them(tmp_path: Path) -> None:
    # sep= is not shown, an empty line is; a row of two lines is one row.
    text = 'sep=,\ntitle\n\na,b\n"1\n1",2\n\n , \n3,4'
    _, rows = everything(written(tmp_path / "a", text), head_row=3)
    assert [row.number for row in rows] == [4, 7]


@pytest.mark.parametrize(
    ("text", "head_row", "told"),
    [
        ("", 1, "is empty"),
        (" \n\r\n", 1, "is empty"),
        ("\na,b\n", 1, "Row 1 is to name the columns"),
        ("a,b\n1,2\n", 3, "Row 3 is to name the columns"),
        (",".join("a" * 1001), 1, "at most 1,000 columns"),
        ("a\n" + "x" * 1_048_577, 1, "Line 2 is longer than 1,048,576 letters"),
    ],
)
def test_a_file_without_a_head_or_without_lines(tmp_path: Path, text: str, head_row: int, told: str) -> None:
    assert told in why_unreadable(written(tmp_path / "a", text), head_row=head_row)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('a,b\n1,"2\n3,4\n5,6\n', "opens a cell in line 2 is not closed"),
        ('a,b\n"x\ny","z\n3,4\n5,6\n', "opens a cell in line 3 is not closed"),
        ('a,b\n"x"" ,1\n', "opens a cell in line 2 is not closed"),
        ('a,b\n1,"2\n' + "3,4\n" * 200 + '5"\n', "opens a cell in line 2 is not closed"),
        ('a,b\n1,"' + "2" * 140_000, "opens a cell in line 2 is not closed"),
        ('a,b\n1,"2\n3,4\n5,"6"\n', "begins with a quotation mark in line 2 is closed by one in line 4"),
        ('a,b\n1,"the "big" one"\n', "begins with a quotation mark in line 2 is closed by one in line 2"),
        ('a,b\n"1" \n2,"x" y\n', "begins with a quotation mark in line 3"),
    ],
)
def test_a_quotation_mark_never_swallows_rows(tmp_path: Path, text: str, told: str) -> None:
    assert told in why_unreadable(written(tmp_path / "a", text))


@pytest.mark.parametrize(
    ("row", "told"),
    [
        ("1,7,5", "has 3 cells where the head row names 2"),
        ('"1\n2,3\n4"', "join lines 2 to 4"),
        ('"1\n2",3,4', "join lines 2 to 3"),
    ],
)
def test_no_cell_of_a_row_that_does_not_fit_is_used(tmp_path: Path, row: str, told: str) -> None:
    _, rows = everything(written(tmp_path / "a", f"a,b\n{row}\n8,9"), separator="comma")
    assert all(told in cell.fault for cell in rows[0].cells)
    assert [cell.fault for cell in rows[1].cells] == ["", ""]


@pytest.mark.parametrize(("limit", "most"), [("MOST_ROWS", 3), ("MOST_CELLS", 5)])
def test_more_rows_or_cells_than_are_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, limit: str, most: int
) -> None:
    path = written(tmp_path / "a", "a,b\n1,2\n3,4\n5,6\n")
    monkeypatch.setattr(read_text, limit, most + 1)
    assert len(values(path)) == 4
    monkeypatch.setattr(read_text, limit, most)
    assert "too large" in why_unreadable(path)


def test_rows_in_a_cell_are_not_taken_for_its_text(tmp_path: Path) -> None:
    # The mark before "clear" is closed by the inch mark of another row, and the number of cells is right.
    text = 'a,b,c,notes\n1,2,3,"clear\n4,5,6,low\n7,8,9,about 3"\n1,2,3,"two lines,\nof a note"\n'
    _, rows = everything(written(tmp_path / "a", text))
    assert all("lines 2 to 4" in cell.fault for cell in rows[0].cells)
    assert not any(cell.fault for cell in rows[1].cells)


def test_a_short_row_and_separators_at_its_end_are_no_harm(tmp_path: Path) -> None:
    assert values(written(tmp_path / "a", "a,b\n1\n2,3,, \n")) == [["a", "b"], ["1"], ["2", "3"]]
