"""A first look at a file of which nothing is known."""

from pathlib import Path

import pytest

from service.intake.mapping.bodies.file import Separator
from service.intake.sheets.cell import Unreadable
from service.intake.sheets.look import Look, look_into
from tests.intake.sheets.reading import written
from tests.intake.sheets.workbooks import book, head, sheet, text


def look(path: Path) -> Look:
    """Return the look at the only sheet of a file."""
    [found] = look_into(path)
    return found


@pytest.mark.parametrize(
    ("content", "separators"),
    [
        ("a;b;c\n1,5;2;3\n1;2;3", [Separator.SEMICOLON]),
        ("a\tb\n1\t2", [Separator.TAB]),
        ("a,b\n1,2\n3,4", [Separator.COMMA]),
        ("a;b,c\n1;2,3\n4;5,6", [Separator.COMMA, Separator.SEMICOLON]),
        ("a\n1,5\n2,5\n3", []),
        ("sep=;\na;b,c\n1;2,3", [Separator.SEMICOLON]),
    ],
)
def test_separators_with_which_the_columns_are_steady(
    tmp_path: Path, content: str, separators: list[Separator]
) -> None:
    assert list(look(written(tmp_path / "a", content)).separators) == separators


@pytest.mark.parametrize(
    ("content", "encodings"),
    [
        (b"a,b\n1,2", ["utf-8", "windows-1252", "latin-1"]),  # all the same: no letter is beyond ASCII
        ("a,°\n1,2".encode(), ["utf-8"]),
        ("a,°\n1,2".encode("utf-8-sig"), ["utf-8"]),
        ("a,°\n1,2".encode("latin-1"), ["windows-1252", "latin-1"]),
        ("a,“\n1,2".encode("windows-1252"), ["windows-1252"]),
        ("a,°\n1,2".encode("utf-16"), ["utf-8"]),  # the mark rules, whatever is declared
        ("a,°\n1,2".encode("utf-16-le"), ["utf-16"]),
    ],
)
def test_encodings_that_may_be_declared(tmp_path: Path, content: bytes, encodings: list[str]) -> None:
    found = look(written(tmp_path / "a", content))
    assert list(found.encodings) == encodings
    assert found.head.cells[1].text in ("b", "°", "“")


@pytest.mark.parametrize(
    ("content", "number"),
    [
        ("site,pH\nA,7", 1),
        ("Stream watch 2024,,\nby class 6,,\nsite,date,pH\nA,2024-03-01,7", 3),
        ("\n\nsite,date,pH\nA,2024-03-01,7", 3),
        ("2024-03-01,09:40,<0.5\nsite,date,pH", 2),
        ("1,2\n3,4", 1),  # no row has names: the first, and a person will see it
    ],
)
def test_the_row_that_names_the_columns(tmp_path: Path, content: str, number: int) -> None:
    assert look(written(tmp_path / "a", content)).head.number == number


def test_columns_and_rows_are_counted(tmp_path: Path) -> None:
    found = look(written(tmp_path / "a", "site,pH,\nA,7\n,,\nB,7,,far\n"))
    assert (found.columns, found.rows, found.is_whole) == (("site", "pH", "", ""), 2, True)


def test_a_large_sheet_is_looked_at_in_part(tmp_path: Path) -> None:
    rows = ["n", *map(str, range(20_000))]
    found = look(written(tmp_path / "a", "\n".join(rows)))
    assert (found.rows, found.is_whole) == (19_999, False)
    assert look(written(tmp_path / "a", "\n".join(rows[:-1]))).is_whole


def test_every_sheet_of_a_workbook(tmp_path: Path) -> None:
    sheets = {
        "rows": sheet(head("a", "b"), text("x") + "<c><v>7</v></c>", "<c><f>1</f></c>"),
        "empty": sheet(),
        "lists": sheet(*[text("word")] * 700),
    }
    looks = look_into(book(tmp_path / "a", sheets, hidden=("lists",)))
    assert [(one.sheet, one.is_hidden, one.rows, one.separators) for one in looks] == [
        ("rows", False, 2, ()),
        ("lists", True, 699, ()),
    ]
    assert [one.columns for one in looks] == [("a", "b"), ("word",)]


def test_a_workbook_in_which_nothing_is_written(tmp_path: Path) -> None:
    with pytest.raises(Unreadable, match="Nothing is written"):
        look_into(book(tmp_path / "a", {"x": sheet()}))
