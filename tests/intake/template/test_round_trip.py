"""What a teacher writes into our template is what is handed in, whichever program saved it."""

import csv
import io
import shutil
import subprocess
from datetime import date, time
from pathlib import Path
from typing import Any

import pytest

from service.intake.template.columns import Counting
from service.intake.template.csv_file import template_csv
from service.visits.schemas import VisitBody
from tests.intake.template.filled import (
    ACIDITY,
    CATALOGUE,
    CATCH,
    MEANT,
    VISITS,
    WHEN,
    bodies,
    choice,
    fill,
    rows_of,
    workbook,
)

OFFICE = shutil.which("soffice")


def test_a_filled_workbook_means_what_was_written(tmp_path: Path) -> None:
    found = bodies(fill(workbook(), tmp_path / "filled.xlsx"))
    assert found == MEANT
    for body in found:
        VisitBody.model_validate(body)


@pytest.mark.skipif(OFFICE is None, reason="the program soffice (LibreOffice) is not installed")
def test_a_workbook_that_another_program_saved_means_the_same(tmp_path: Path) -> None:
    fill(workbook(), tmp_path / "filled.xlsx")
    saved = tmp_path / "saved"
    subprocess.run(
        [OFFICE, f"-env:UserInstallation=file://{tmp_path}/profile", "--headless", "--convert-to", "xlsx",
         "--outdir", saved, tmp_path / "filled.xlsx"],
        check=True, capture_output=True, timeout=120,
    )  # fmt: skip
    assert bodies(saved / "filled.xlsx") == MEANT


@pytest.mark.parametrize("example", ["there", "taken out"])
def test_an_unused_template_gives_no_visit(tmp_path: Path, example: str) -> None:
    path = tmp_path / "new.csv"
    head, first = template_csv(choice(), CATALOGUE).splitlines()
    path.write_bytes(head + b"\r\n" + (first if example == "there" else b""))
    rows = rows_of(path)
    assert bodies(path) == []
    assert ["example" in row.left_out for row in rows] == ([True] if example == "there" else [])


def test_an_unused_workbook_gives_no_visit(tmp_path: Path) -> None:
    (tmp_path / "new.xlsx").write_bytes(workbook())
    assert bodies(tmp_path / "new.xlsx") == []


@pytest.mark.parametrize("mark", ["Example", " EXAMPLE "])
def test_the_example_is_known_however_its_mark_is_written(tmp_path: Path, mark: str) -> None:
    path = tmp_path / "new.csv"
    path.write_bytes(template_csv(choice(), CATALOGUE).replace(b"example", mark.encode()))
    assert bodies(path) == []


def as_text(value: Any, decimal: str) -> str:
    if isinstance(value, float):
        return str(value).replace(".", decimal)
    return value.isoformat("minutes") if isinstance(value, time) else str(value)


def written(separator: str, decimal: str, day: str = "%Y-%m-%d") -> str:
    """Return the filled CSV: readings in a visit's first row, each further animal in a row of its own."""
    names = next(csv.reader(io.StringIO(template_csv(choice(), CATALOGUE).decode())))
    first, second = VISITS
    lines = [first | CATCH[0], CATCH[1], second]
    text = io.StringIO()
    table = csv.DictWriter(text, names, delimiter=separator, lineterminator="\r\n")
    table.writeheader()
    for line in lines:
        row = {head: as_text(value, decimal) for head, value in line.items()}
        table.writerow(row | {"date": line["date"].strftime(day)})
    return text.getvalue()


@pytest.mark.parametrize(
    ("separator", "decimal", "encoding"),
    [(",", ".", "utf-8"), (";", ",", "utf-8"), ("\t", ",", "utf-8-sig"), (";", ".", "utf-8-sig")],
)
def test_a_csv_means_the_same_whatever_parts_its_columns(
    tmp_path: Path, separator: str, decimal: str, encoding: str
) -> None:
    path = tmp_path / "filled.csv"
    path.write_bytes(written(separator, decimal).encode(encoding))
    assert bodies(path) == MEANT


def test_dates_that_a_program_rewrote_are_refused_with_the_reason_and_never_guessed(tmp_path: Path) -> None:
    path = tmp_path / "rewritten.csv"
    path.write_text(written(",", ".", "%d/%m/%Y"))
    rows = rows_of(path)
    assert [row.key for row in rows] == [None] * 3
    for row in rows:
        (problem,) = row.problems
        assert (problem.column, problem.value) == ("date (column C)", "09/04/2026")


def test_letters_are_read_where_the_class_counts_in_letters(tmp_path: Path) -> None:
    rows = ({"site": "007", **WHEN, "animal": "scud", "letter": "C"},)
    (body,) = bodies(fill(workbook(counting=Counting.LETTERS), tmp_path / "l.xlsx", (), rows))
    assert body["catch"] == {"count_scheme": "rcd-1-10-100", "counts": [{"taxon": "scud", "abundance": "C"}]}


def test_a_visit_without_animals_and_animals_without_readings_are_visits(tmp_path: Path) -> None:
    visits = ({"site": "007", **WHEN, ACIDITY: 7},)
    catch = ({"site": "007", **WHEN, "date": date(2026, 4, 10), "animal": "scud", "count": 0},)
    found = bodies(fill(workbook(), tmp_path / "apart.xlsx", visits, catch))
    assert [(body["readings"] != [], "catch" in body) for body in found] == [(True, False), (False, True)]
