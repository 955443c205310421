from datetime import date
from typing import Any

import pytest

from service.intake.sheets.cell import Value
from tests.intake.mapping.sheets import mapping_of, read_one, refused, taken

WET = ("mill-creek-1", "2026-05-14", "9:40")
ROWS_HEAD = "Site|Day|Clock|Animal|Count|Stage|Sorted"
ROWS = {"taxon": "Animal", "count": "Count", "life_stage": {"column": "Stage"}}
COLUMNS_HEAD = "Site|Day|Clock|Mayflies|Beetle larvae|Sorted"
COLUMNS = {
    "columns": [
        {"column": "Mayflies", "taxon": "mayfly"},
        {"column": "Beetle larvae", "taxon": "beetle", "life_stage": "larva"},
    ]
}


def rows(*cells: Value, **catch: Any) -> Any:
    return read_one(mapping_of(catch=ROWS | catch, file={"missing": ["NA"]}), ROWS_HEAD, *WET, *cells)


def columns(*cells: Value, **catch: Any) -> Any:
    return read_one(mapping_of(catch=COLUMNS | catch, file={"missing": ["NA"]}), COLUMNS_HEAD, *WET, *cells)


@pytest.mark.parametrize(
    ("cells", "line"),
    [
        (
            ("Acroneuria sp.", "3", "Larva", ""),
            {"taxon": "Acroneuria sp.", "count": 3, "life_stage": "larva"},
        ),
        (("mayfly", 12.0, "NA", ""), {"taxon": "mayfly", "count": 12}),
        (("Bezzia/Palpomyia sp.", "0", "", ""), {"taxon": "Bezzia/Palpomyia sp.", "count": 0}),
    ],
)
def test_a_row_an_animal(cells: tuple[Value, ...], line: dict[str, Any]) -> None:
    part = taken(rows(*cells))
    assert [sent.content for sent in part.counts] == [line]
    assert part.counts[0].column == "Animal (column D)"
    assert part.catch == {"count_scheme": ("counts", "")}


@pytest.mark.parametrize(
    ("cells", "where", "why"),
    [
        (("mayfly", "", "", ""), "Count (column E)", "gives no count"),
        (("", "3", "", ""), "Animal (column D)", "does not name the animal"),
        (("mayfly", "3.5", "", ""), "Count (column E)", "is not a whole number"),
        (("mayfly", "20+", "", ""), "Count (column E)", "is not a number"),
        (("mayfly", "many", "", ""), "Count (column E)", "is not a number"),
        (("mayfly", date(2026, 5, 1), "", ""), "Count (column E)", "holds a date"),
        (("mayfly", "3", "larvum", ""), "Stage (column F)", "did you mean larva?"),
        (("mayfly", "3", "egg", ""), "Stage (column F)", "known are larva, nymph, pupa, adult"),
    ],
)
def test_what_is_refused_of_an_animal(cells: tuple[Value, ...], where: str, why: str) -> None:
    found = refused(rows(*cells))
    assert found[0] == where
    assert why in found[2]


def test_stages_in_words_of_the_sheet() -> None:
    part = taken(
        rows("beetle", "2", "L", "", life_stage={"column": "Stage", "values": {"L": "larva", "?": None}})
    )
    assert part.counts[0].content["life_stage"] == "larva"


@pytest.mark.parametrize(
    ("name", "remark"),
    [
        ("Acroneuria sp.", None),
        ("Ephemerella dorothea/excrucians", None),
        ("mayflie", "is no animal of the list; did you mean mayfly"),
        ("Fliegenlarve", "is no animal of the list."),
        ("blue-winged olive", "may stand for Baetidae or Ephemerellidae. Is it slim and quick"),
    ],
)
def test_a_name_that_is_not_known_is_kept_and_told(name: str, remark: str | None) -> None:
    row = rows(name, "3", "", "")
    assert taken(row).counts[0].content["taxon"] == name
    assert [(told.column, told.value) for told in row.remarks] == [("Animal (column D)", name)] * bool(remark)
    assert all(remark in told.reason for told in row.remarks if remark)


@pytest.mark.parametrize(
    ("written", "letter"), [("R", "R"), ("c", "C"), (" d ", "D")], ids=["capital", "small", "blanks"]
)
def test_letters(written: str, letter: str) -> None:
    part = taken(rows("mayfly", written, "", "", letters=True))
    assert part.counts[0].content == {"taxon": "mayfly", "abundance": letter}
    assert part.catch is not None
    assert part.catch["count_scheme"].content == "rcd-1-10-100"


@pytest.mark.parametrize(("written", "letter"), [("few", "R"), (" Many", "D"), ("10-99", "C")])
def test_letters_in_words_of_the_sheet(written: str, letter: str) -> None:
    part = taken(
        rows("mayfly", written, "", "", letters=True, letter_words={"few": "R", "10-99": "C", "many": "D"})
    )
    assert part.counts[0].content["abundance"] == letter


@pytest.mark.parametrize("written", ["A", "12", 3, "RR"])
def test_what_is_no_letter(written: Value) -> None:
    assert "none of the letters R" in refused(rows("mayfly", written, "", "", letters=True))[2]


def test_a_column_an_animal() -> None:
    part = taken(columns("4", "0", "1/4", sorted_share={"column": "Sorted"}, gear={"value": "d-net"}))
    assert part.counts == (
        ({"taxon": "mayfly", "count": 4}, "Mayflies (column D)"),
        ({"taxon": "beetle", "count": 0, "life_stage": "larva"}, "Beetle larvae (column E)"),
    )
    assert part.catch == {
        "count_scheme": ("counts", ""),
        "gear": ("d-net", ""),
        "sorted_share": (0.25, "Sorted (column F)"),
    }


def test_a_name_of_a_column_that_is_not_known_is_told() -> None:
    row = columns("4", "", columns=[{"column": "Mayflies", "taxon": "mayflie"}])
    assert [(told.column, told.value) for told in row.remarks] == [("Mayflies (column D)", "mayflie")]


def test_a_column_that_is_empty_says_nothing_of_its_animal() -> None:
    assert [sent.content["taxon"] for sent in taken(columns("NA", "2", "")).counts] == ["beetle"]
    assert columns("", "NA", "").left_out


@pytest.mark.parametrize(
    ("fact", "written", "sent"),
    [
        ({"minutes": {"column": "Sorted"}}, "3", ("minutes", 3.0)),
        ({"area_m2": {"column": "Sorted", "times": 0.0001}}, "900", ("area_m2", 0.09)),
        ({"area_m2": {"value": 0.5}}, "", ("area_m2", 0.5)),
        ({"jabs": {"column": "Sorted"}}, "20", ("jabs", 20)),
        ({"mesh_um": {"column": "Sorted"}}, "500", ("mesh_um", 500.0)),
        ({"sorted_share": {"column": "Sorted"}}, "25%", ("sorted_share", 0.25)),
        ({"sorted_share": {"column": "Sorted", "times": 0.01}}, "25", ("sorted_share", 0.25)),
        ({"counted_only": ["mayfly"]}, "", ("counted_only", ["mayfly"])),
    ],
)
def test_how_the_animals_were_caught(fact: dict[str, Any], written: str, sent: tuple[str, object]) -> None:
    part = taken(columns("1", "", written, **fact))
    assert part.catch is not None
    assert part.catch[sent[0]].content == sent[1]


@pytest.mark.parametrize(
    ("fact", "written"), [("jabs", "2.5"), ("minutes", "three"), ("sorted_share", "half"), ("jabs", "1/4")]
)
def test_what_is_refused_of_how_they_were_caught(fact: str, written: str) -> None:
    assert refused(columns("1", "", written, **{fact: {"column": "Sorted"}}))[0] == "Sorted (column F)"


def test_a_share_that_is_multiplied_is_a_number_alone() -> None:
    row = columns("1", "", "25%", sorted_share={"column": "Sorted", "times": 0.01})
    assert "percent sign" in refused(row)[2]


@pytest.mark.parametrize(("mark", "abundance"), [("x", "P"), ("Yes", "P"), (1.0, "P"), ("", "P")])
def test_what_was_found_and_not_counted(mark: Value, abundance: str) -> None:
    head, cells = (ROWS_HEAD, ("mayfly", mark, "larva", ""))
    count = {"count": "Count"} if mark != "" else {}
    body = {"taxon": "Animal", "life_stage": {"column": "Stage"}, "found_only": True} | count
    part = taken(read_one(mapping_of(catch=body), head, *WET, *cells))
    assert [sent.content for sent in part.counts] == [
        {"taxon": "mayfly", "abundance": abundance, "life_stage": "larva"}
    ]
    assert part.catch == {"count_scheme": ("presence", "")}


def test_marks_in_the_columns_of_animals() -> None:
    part = taken(columns("x", "-", "", found_only=True))
    assert [sent.content for sent in part.counts] == [{"taxon": "mayfly", "abundance": "P"}]
    assert refused(columns("some", "", "", found_only=True))


def test_a_net_in_which_every_animal_is_marked_as_absent_is_an_empty_net() -> None:
    part = taken(columns("-", "no", "", found_only=True))
    assert part.counts == ()
    assert part.catch == {"count_scheme": ("presence", "")}
