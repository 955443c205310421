"""Workbooks as programs write them: two libraries that write the same in ways of their own."""

from datetime import date, datetime, time
from pathlib import Path

import openpyxl
import pytest
import xlsxwriter

from service.intake.sheets.cell import Value
from tests.intake.sheets.reading import everything

HEAD: list[Value] = ["site", "visited", "day", "at", "pH", "count", "seen", "nothing", "code"]
ROW: list[Value] = [
    "Mühlbach & <Wehr>",
    datetime(2024, 2, 29, 9, 40),
    date(2024, 2, 29),
    time(23, 59, 59),
    7.1,
    12,
    True,
    None,
    "02030105",
]


@pytest.mark.parametrize("in_pieces", [False, True])
def test_xlsxwriter(tmp_path: Path, in_pieces: bool) -> None:
    path = tmp_path / "a"
    with xlsxwriter.Workbook(str(path), {"constant_memory": in_pieces}) as made:
        page = made.add_worksheet()
        forms = {
            kind: made.add_format({"num_format": code})
            for kind, code in ((datetime, "dd/mm/yyyy hh:mm"), (date, "yyyy-mm-dd"), (time, "hh:mm:ss"))
        }
        page.write_row(0, 0, HEAD)
        for place, value in enumerate(ROW):
            page.write(1, place, value, forms.get(type(value)))
        page.write_formula(2, 4, "=E2+1", None, 8.1)
        page.write(2, 5, "=not a formula")
        page.write_comment(2, 0, "said beside the cell")
    head, rows = everything(path)
    assert [head, [cell.value for cell in rows[0].cells]] == [HEAD, ROW]
    assert "formula" in rows[1].cells[4].fault
    assert "formula" in rows[1].cells[5].fault  # this writer makes one of what begins with =


@pytest.mark.parametrize("from_1904", [False, True])
def test_openpyxl(tmp_path: Path, from_1904: bool) -> None:
    path = tmp_path / "a"
    made = openpyxl.Workbook()
    if from_1904:
        made.epoch = openpyxl.utils.datetime.CALENDAR_MAC_1904
    page = made.active
    assert page is not None
    page.append(HEAD)
    page.append(ROW)
    page.append([None] * 4 + ["=E2*2"])
    made.create_sheet("notes").append(["a"])
    made.save(path)
    head, rows = everything(path, sheet="Sheet")
    assert [head, [cell.value for cell in rows[0].cells]] == [HEAD, ROW]
    assert "formula" in rows[1].cells[4].fault
