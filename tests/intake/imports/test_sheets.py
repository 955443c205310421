"""A class's own sheet goes in by a kept mapping; bad rows come back with row, column and reason."""

import pytest

from tests.api import Api, Json, reading, visit
from tests.intake.imports.files import HEAD, fates, keep, line, send, send_sheet, sheet


@pytest.fixture
def kept(api: Api) -> Api:
    return api.once(keep)


def problems(report: Json) -> list[tuple[int, str, str]]:
    return [(row["row"], one["column"], one["value"]) for row in report["rows"] for one in row["problems"]]


BAD = [line(13, "reed-99"), line(14, pH="seven"), line(15, Date="15 March")]
MENDED = [line(13), line(14), line(15)]


def test_a_mended_file_goes_in_without_doubles(kept: Api) -> None:
    tried = send_sheet(kept, line(), *BAD, line(16), dry_run="true")
    assert fates(tried) == ["would_store", "refused", "refused", "refused", "would_store"]
    assert problems(tried) == [
        (3, "Site (column A)", "reed-99"),
        (4, "pH (column F)", "seven"),
        (5, "Date (column B)", "15 March"),
    ]
    assert all(one["reason"] for row in tried["rows"] for one in row["problems"])
    assert fates(send_sheet(kept, line(), *BAD, line(16))) == ["stored", *["refused"] * 3, "stored"]
    mended = send_sheet(kept, line(), *MENDED, line(16))
    assert fates(mended) == ["known", *["stored"] * 3, "known"]
    assert fates(send_sheet(kept, line(), *MENDED, line(16))) == ["known"] * 5
    assert len(kept.every("/v1/visits", "heron")) == 5


def test_what_stands_in_the_sheet_is_what_is_stored(kept: Api) -> None:
    (row,) = send_sheet(kept, line(Team="b", Water=6.5, pH=8, Remarks="muddy"))["rows"]
    stored = kept.get(f"/v1/visits/{row['visit_id']}", "heron").json()
    assert [(one["parameter"], one["value"]) for one in stored["readings"]] == [
        ("water_temperature", 6.5), ("ph", 8),
    ]  # fmt: skip
    assert stored["private"]["observed_at"] == "2026-03-12T10:15:00-04:00"
    assert (stored["private"]["team"], stored["private"]["notes"]) == ("b", "class: muddy")


def test_a_held_visit_is_told_with_the_cell_and_what_to_do(kept: Api) -> None:
    report = send_sheet(kept, line(), line(13, pH=15))
    assert fates(report) == ["stored", "held"]
    remarks = report["rows"][1]["remarks"]
    assert {one["column"] for one in remarks} == {"pH (column F)"}
    assert any("15" in one["reason"] for one in remarks)
    assert "coordinator" in report["rows"][1]["advice"]
    assert "1 stored" in report["text"]
    assert len(kept.get("/v1/review", "coordinator").json()["items"]) == 1


def test_a_corrected_number_is_told_and_with_revise_corrected(kept: Api) -> None:
    send_sheet(kept, line())
    changed = send_sheet(kept, line(pH=8))
    assert fates(changed) == ["changed"]
    assert "revise=true" in changed["rows"][0]["advice"]
    address = f"/v1/visits/{changed['rows'][0]['visit_id']}"
    assert kept.get(address, "heron").json()["revision"] == 1
    assert fates(send_sheet(kept, line(pH=8), revise="true", dry_run="true")) == ["would_store"]
    assert fates(send_sheet(kept, line(pH=8), revise="true")) == ["revised"]
    assert kept.get(address, "heron").json()["readings"][1]["value"] == 8
    assert fates(send_sheet(kept, line(pH=8), revise="true")) == ["known"]
    assert kept.get(address, "heron").json()["revision"] == 2


def test_a_withdrawn_visit_is_not_brought_back_by_a_file(kept: Api) -> None:
    (row,) = send_sheet(kept, line())["rows"]
    address = f"/v1/visits/{row['visit_id']}"
    assert kept.call("DELETE", address, "heron", headers={"If-Match": "*"}).status_code == 200
    report = send_sheet(kept, line(pH=8), revise="true")
    assert fates(report) == ["refused"]
    assert "withdrawn" in report["rows"][0]["problems"][0]["reason"]


def test_rows_of_one_site_and_moment_are_one_visit(kept: Api) -> None:
    report = send_sheet(kept, line(pH=""), line(13), line(Water=""))
    assert fates(report) == ["stored", "stored", "merged"]
    assert report["rows"][2]["visit_id"] == report["rows"][0]["visit_id"]
    assert "row 2" in report["rows"][2]["advice"]
    stored = kept.get(f"/v1/visits/{report['rows'][0]['visit_id']}", "heron").json()
    assert [one["parameter"] for one in stored["readings"]] == ["water_temperature", "ph"]


def test_a_visit_goes_in_whole_or_not_at_all(kept: Api) -> None:
    report = send_sheet(kept, line(pH=""), line(Water="", pH="seven"), line(13))
    assert fates(report) == ["refused", "refused", "stored"]
    (reason,) = [one["reason"] for one in report["rows"][0]["problems"]]
    assert reason == "row 3 of the same visit was refused"
    assert [row["visit_id"] for row in report["rows"][:2]] == [None, None]


@pytest.mark.parametrize("key", ["heron", "coordinator"])
def test_a_site_of_another_school_is_refused(kept: Api, key: str) -> None:
    report = send_sheet(kept, line(), line(13, "reed-01"), key=key, school="heron")
    assert fates(report) == ["stored", "refused"]
    assert problems(report) == [(3, "Site (column A)", "reed-01")]


def test_a_file_of_another_school_is_for_that_school_and_the_coordinator(kept: Api) -> None:
    content = sheet(line())
    assert "own visits" in send(kept, content, "otter", school="heron", wanted=403).text
    send(kept, content, "reader", school="heron", wanted=403)
    assert "name the school" in send(kept, content, "coordinator", wanted=400).text
    send(kept, content, "coordinator", school="nobody", wanted=400)
    # A mapping of another school looks like one that is not there.
    send(kept, content, "otter", mapping="class-sheet", wanted=404)
    send(kept, content, mapping="no-such", wanted=404)


def test_what_was_handed_in_by_hand_before_is_held_and_not_doubled_in_silence(kept: Api) -> None:
    kept.submit(visit(observed_at="2026-03-12T10:15:00-04:00", readings=[reading("ph", 7)]))
    report = send_sheet(kept, line())
    assert fates(report) == ["held"]
    assert [one["check"] for one in report["visits"][0]["doubts"]] == ["visit-clock"]


def test_a_file_that_the_mapping_does_not_fit_is_refused_whole(kept: Api) -> None:
    answer = send(kept, sheet(line(), head=("Place", *HEAD[1:])), mapping="class-sheet", wanted=422)
    (error,) = answer.json()["errors"]
    assert "Site" in error["message"]


def test_a_file_without_a_mapping_that_is_no_template_is_refused_whole(kept: Api) -> None:
    (error,) = send(kept, sheet(line()), wanted=422).json()["errors"]
    assert "mapping" in error["message"]


def test_every_row_has_one_fate_and_they_add_up(kept: Api) -> None:
    kept.submit(visit())
    send_sheet(kept, line(1), line(2))
    blank = line(9, Water="", pH="")
    split = line(5, pH=""), line(5, Water="")
    report = send_sheet(kept, line(1), line(2, pH=8), line(3), line(4, pH=15), *split, line(6, pH="x"), blank)
    assert fates(report) == [
        "known", "changed", "stored", "held", "stored", "merged", "refused", "left_out",
    ]  # fmt: skip
    assert sum(report["totals"].values()) == report["rows_count"] == len(report["rows"])
    for fate, number in report["totals"].items():
        assert number == fates(report).count(fate)
