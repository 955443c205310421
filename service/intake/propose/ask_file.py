"""How the file is written: its letters, its decimal sign, and the marks that stand for nothing measured."""

import re
from collections import Counter
from typing import Any

from service.intake.mapping.written.words import plain_word
from service.intake.propose.cell_kinds import NOT_DETECTED, Look
from service.intake.propose.draft import Draft, SeenColumn
from service.intake.propose.schemas import Choice
from service.intake.propose.seen_columns import is_measured
from service.intake.sheets.look import Look as SheetLook


def ask_encoding(draft: Draft, look: SheetLook) -> None:
    """Ask which letters the bytes stand for, where the file is not in UTF-8."""
    if len(look.encodings) < 1 or look.encodings[0] == "utf-8":
        return
    shown = next(
        (text for row in (look.head, *draft.rows) for cell in row.cells if not (text := cell.text).isascii()),
        "",
    )
    told = f"The file is not in UTF-8. Read as {look.encodings[0]}, it holds: {shown[:80]}. Is that right?"
    draft.ask("/file/encoding", None, told, [Choice(value=name, text=name) for name in look.encodings])


def ask_signs(draft: Draft, file: dict[str, Any]) -> None:
    """Settle the decimal sign by what can only be read one way, or ask; and ask what marks of missing "
    "mean."""
    _decimal(draft, file)
    _missing(draft)


def _decimal(draft: Draft, file: dict[str, Any]) -> None:
    numbers = [
        column
        for column in draft.columns
        if column.used and (is_measured(column.means) or column.means in ("value", "count"))
    ]
    commas = _first(numbers, Look.DECIMAL_COMMA)
    parted = [one for one in numbers if (one.facts.like_thousands or (0,))[0] == one.facts.with_point > 0]
    points = any(column.facts.with_point for column in numbers if column not in parted)
    if commas and not points:
        column, row, text = commas
        file["decimal"] = ","
        column.remarks.append(f"the decimal sign is a comma: row {row} has {text}")
        _take_points_for_thousands(file, parted)
    elif doubtful := commas or _first(numbers, Look.THOUSANDS) or (None if points else _like(parted)):
        _ask_decimal(draft, *doubtful, both=bool(commas and points))


def _ask_decimal(draft: Draft, column: SeenColumn, row: int, text: str, *, both: bool) -> None:
    sign = "," if "," in text else "."
    told = f"Row {row} has {text}. Is that {text.replace(',', '.')} or {text.replace(sign, '')}?"
    if both:
        told = (
            f"Some numbers have a point and some a comma: row {row} has {text}. Which sign stands before the "
            "decimals?"
        )
    choices = [Choice(value=",", text="the comma"), Choice(value=".", text="the point")]
    draft.ask("/file/decimal", column, told, choices if sign == "," else choices[::-1])
    if re.fullmatch(r"[1-9]\d{0,2}([.,]\d{3})+", text, re.ASCII):
        parts = "comma" if sign == "," else "point"
        choices = [Choice(value=sign, text="yes"), Choice(value=None, text="no")]
        draft.ask("/file/thousands", column, f"Does a {parts} part the thousands?", choices, needed=False)


def _take_points_for_thousands(file: dict[str, Any], parted: list[SeenColumn]) -> None:
    for column in parted:
        file["thousands"] = "."
        many, row, text = column.facts.like_thousands or (0, 0, "")
        column.remarks.append(
            f"a point parts the thousands, for the comma is the decimal sign: {many} numbers, such as {text} "
            f"in row {row}"
        )


def _like(parted: list[SeenColumn]) -> tuple[SeenColumn, int, str] | None:
    return next(((one, *one.facts.like_thousands[1:]) for one in parted if one.facts.like_thousands), None)


def _first(columns: list[SeenColumn], look: Look) -> tuple[SeenColumn, int, str] | None:
    return next(
        ((column, *column.facts.first[look]) for column in columns if look in column.facts.first), None
    )


def _missing(draft: Draft) -> None:
    marks: Counter[str] = Counter()
    for column in draft.columns:
        if column.used:
            marks.update(column.facts.missing)
    below = sorted(mark for mark in marks if plain_word(mark) in NOT_DETECTED)
    nothing = sorted(mark for mark in marks if plain_word(mark) not in NOT_DETECTED)
    if nothing:
        told = f"{_listed(nothing, marks)}. Was nothing measured where that stands? It is never taken for 0."
        draft.ask(
            "/file/missing",
            None,
            told,
            [Choice(value=nothing, text="yes, nothing was measured")],
            write="a list of words",
        )
    if below:
        told = (
            f"{_listed(below, marks)}. If it means below the limit of the kit, give that limit too "
            "(/readings/…/limit); if nothing was measured, add it to /file/missing instead."
        )
        draft.ask(
            "/file/not_detected",
            None,
            told,
            [
                Choice(value=below, text="below the limit"),
                Choice(value=[], text="neither; such rows are refused"),
            ],
        )


def _listed(words: list[str], often: Counter[str]) -> str:
    return "In cells stands " + ", ".join(f'"{word}" ({often[word]} times)' for word in words)
