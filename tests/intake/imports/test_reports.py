"""The report as JSON, and as the file that was sent with what is said of each row: all say the same."""

import csv
import io
from typing import Any

import openpyxl
import pytest

from tests.api import Api, visit
from tests.intake.imports.files import HEAD, MAPPING, fates, keep, line, send, send_sheet, sheet

ADDED = ["fate", "what is wrong", "what to do"]
on_sqlite = pytest.mark.parametrize("backend", ["sqlite"], indirect=True, scope="session")
pytestmark = on_sqlite


@pytest.fixture
def kept(api: Api) -> Api:
    return api.once(keep)


SHEET = sheet(
    line(1), line(2, pH="seven"), [""] * len(HEAD), line(4, pH=15, Remarks="=1+1"), line(5, pH="-7")
)


def as_csv(answer: Any, separator: str = ",") -> list[list[str]]:
    assert answer.content.startswith(b"\xef\xbb\xbf")
    return list(csv.reader(io.StringIO(answer.content.decode("utf-8-sig"), newline=""), delimiter=separator))


def as_xlsx(answer: Any) -> list[list[Any]]:
    book = openpyxl.load_workbook(io.BytesIO(answer.content))
    return [[cell.value for cell in row] for row in book.worksheets[0].iter_rows()]


def test_all_three_reports_say_the_same_of_each_row_where_it_stood(kept: Api) -> None:
    asked = {"mapping": "class-sheet", "dry_run": "true"}
    report = send(kept, SHEET, **asked).json()
    told = {
        row["row"]: [
            row["fate"],
            "\n".join(
                ": ".join(part for part in (one["column"], one["value"], one["reason"]) if part)
                for one in [*row["problems"], *row["remarks"]]
            ),
            row["advice"],
        ]
        for row in report["rows"]
    }
    assert sorted(told) == [2, 3, 5, 6]
    text = as_csv(send(kept, SHEET, f="csv", **asked))
    book = as_xlsx(send(kept, SHEET, f="xlsx", **asked))
    for rows in (text, book):
        assert rows[0] == [*HEAD, *ADDED]
        assert {number: [cell or "" for cell in rows[number - 1][-3:]] for number in told} == told
        assert not any(rows[3])


def test_no_cell_of_a_report_is_a_formula_and_a_number_keeps_its_sign(kept: Api) -> None:
    asked = {"mapping": "class-sheet", "dry_run": "true"}
    text = as_csv(send(kept, SHEET, f="csv", **asked))
    assert (text[4][6], text[5][5]) == ("'=1+1", "-7")
    answer = send(kept, SHEET, f="xlsx", **asked)
    cells = [cell for row in openpyxl.load_workbook(io.BytesIO(answer.content)).active for cell in row]
    assert {cell.data_type for cell in cells} <= {"s", "n"}
    assert "=1+1" in [cell.value for cell in cells]


@pytest.mark.parametrize("form", ["csv", "xlsx"])
def test_a_report_that_was_mended_is_sent_again_as_it_is(kept: Api, form: str) -> None:
    content = sheet(line(1), line(2, pH="seven"))
    first = send(kept, content, mapping="class-sheet", f=form)
    if form == "csv":
        mended = first.content.replace(b"seven", b"7")
    else:
        book = openpyxl.load_workbook(io.BytesIO(first.content))
        book.active["F3"] = 7
        written = io.BytesIO()
        book.save(written)
        mended = written.getvalue()
    kind = first.headers["content-type"]
    assert fates(send(kept, mended, kind=kind, mapping="class-sheet").json()) == ["known", "stored"]
    again = send(kept, mended, kind=kind, mapping="class-sheet", f="csv", dry_run="true")
    assert as_csv(again)[0] == [*HEAD, *ADDED]


def test_a_report_is_written_as_the_file_was(kept: Api) -> None:
    latin = MAPPING | {"file": {"separator": "semicolon", "encoding": "latin-1", "decimal": ","}}
    assert kept.call("PUT", "/v1/schools/heron/mappings/latin", "heron", json=latin).is_success
    content = sheet(line(1, Water="6,5", Remarks="Böschung"), separator=";").decode().encode("latin-1")
    answer = send(kept, content, mapping="latin", f="csv")
    assert as_csv(answer, ";")[1][:7] == ["reed-02", "2026-03-01", "10:15", "", "6,5", "7", "Böschung"]
    assert fates(send(kept, answer.content, mapping="latin").json()) == ["known"]


def test_a_sheet_by_another_name_and_with_its_head_further_down_keeps_its_rows(kept: Api) -> None:
    below = MAPPING | {"file": {"head_row": 3}}
    assert kept.call("PUT", "/v1/schools/heron/mappings/below", "heron", json=below).is_success
    content = b"Heron School,,\r\n\r\n" + sheet(line(1), line(2, pH="seven"))
    report = send(kept, content, mapping="below", dry_run="true").json()
    assert [row["row"] for row in report["rows"]] == [4, 5]
    rows = as_csv(send(kept, content, mapping="below", dry_run="true", f="csv"))
    assert (rows[2][:2], rows[3][-3], rows[4][-3]) == (["Site", "Date"], "would_store", "refused")


def test_a_report_of_lines_has_the_lines_in_it(kept: Api) -> None:
    content = b'{"site": 1}\n[]\n'
    rows = as_csv(send(kept, content, kind="application/x-ndjson", f="csv"))
    assert rows[0] == ["visit", *ADDED]
    assert [row[:2] for row in rows[1:]] == [['{"site": 1}', "refused"], ["[]", "refused"]]


def test_the_file_is_called_in_the_report_as_its_sender_calls_it(kept: Api) -> None:
    files = {"file": ("march\x07.csv", sheet(line(1)), "text/csv")}
    answer = kept.call("POST", "/v1/imports?mapping=class-sheet", "heron", files=files)
    assert (answer.json()["file"].replace("%07", ""), answer.json()["mapping"]) == (
        "march.csv",
        "class-sheet",
    )


def test_totals_and_rows_are_those_of_the_file(kept: Api) -> None:
    kept.submit(visit())
    report = send_sheet(kept, line(1), line(2, pH="x"))
    assert report["complete"] is True
    assert report["text"].startswith("2 rows: 1 stored; 1 refused.")
    assert "Correct" in report["text"]


def test_what_can_not_be_stored_is_not_asked_for_again(kept: Api) -> None:
    good, bad = line(), line(13, pH="seven")
    told = {
        name: send_sheet(kept, *lines, dry_run="true")["text"]
        for name, lines in {"good": [good], "bad": [bad], "both": [good, bad]}.items()
    }
    store, correct = "without dry_run", "Correct what is refused"
    assert [store in told[name] for name in ("good", "bad", "both")] == [True, False, True]
    assert [correct in told[name] for name in ("good", "bad", "both")] == [False, True, True]
