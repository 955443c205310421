"""How a workbook shows the number of a cell: as it is, as a date, a time, in percent, with zeros before."""

import re
from enum import Enum, auto
from typing import NamedTuple
from xml.etree.ElementTree import Element

LONGEST_CODE = 1_000
# Formats that every program knows by number (ECMA-376 part 1, 18.8.30); 27-36 and 50-58 in East Asia.
BUILT_IN_DATES = frozenset((14, 15, 16, 17, *range(27, 32), 36, *range(50, 55), 57, 58))
BUILT_IN_TIMES = frozenset((18, 19, 20, 21, 32, 33, 34, 35, 45, 47, 55, 56))
BUILT_IN_MOMENTS, BUILT_IN_ELAPSED, BUILT_IN_PERCENT = frozenset((22,)), frozenset((46,)), frozenset((9, 10))
_NOT_SHOWN = re.compile(r'"[^"]*"|\\.|_.|\*.')
_ELAPSED = re.compile(r"\[(h+|m+|s+)\]", re.IGNORECASE)
_BRACKETS = re.compile(r"\[[^\]]*\]")
_HALVES = re.compile(r"am/pm|a/p", re.IGNORECASE)
_ZEROS = re.compile(r"0{2,20}")


class Shows(Enum):
    """What a person sees."""

    NUMBER = auto()
    DATE = auto()
    TIME = auto()
    MOMENT = auto()
    ELAPSED = auto()
    PERCENT = auto()
    ZEROS = auto()


class NumberForm(NamedTuple):
    """What is shown, and with how many digits where zeros fill it up."""

    shows: Shows
    digits: int = 0


AS_IT_IS = NumberForm(Shows.NUMBER)


def number_forms(styles: Element | None) -> list[NumberForm]:
    """Return the form of each style that a cell may name."""
    if styles is None:
        return []
    codes = {
        one.get("numFmtId", ""): one.get("formatCode", "")[:LONGEST_CODE]
        for one in styles.iterfind("{*}numFmts/{*}numFmt")
    }
    known: dict[str, NumberForm] = {}
    forms = []
    for style in styles.iterfind("{*}cellXfs/{*}xf"):
        number = style.get("numFmtId", "0")
        if number not in known:
            known[number] = form_of_code(codes[number]) if number in codes else _built_in(number)
        forms.append(known[number])
    return forms


def form_of_code(code: str) -> NumberForm:
    """Return what a format code such as ``dd/mm/yyyy hh:mm`` shows; of several parts the first rules."""
    code = _NOT_SHOWN.sub("", code).split(";")[0]
    if _ELAPSED.search(code):
        return NumberForm(Shows.ELAPSED)
    code = _BRACKETS.sub("", code)
    if _ZEROS.fullmatch(code):
        return NumberForm(Shows.ZEROS, len(code))
    if "%" in code:
        return NumberForm(Shows.PERCENT)
    letters = set(_HALVES.sub("h", code).casefold()) if "general" not in code.casefold() else set()
    has_time = bool(letters & set("hs"))
    has_date = bool(letters & set("dy")) or ("m" in letters and not has_time)
    if has_date:
        return NumberForm(Shows.MOMENT if has_time else Shows.DATE)
    return NumberForm(Shows.TIME) if has_time else AS_IT_IS


def _built_in(number: str) -> NumberForm:
    known = int(number) if number.isdecimal() else 0
    for numbers, shows in (
        (BUILT_IN_DATES, Shows.DATE),
        (BUILT_IN_TIMES, Shows.TIME),
        (BUILT_IN_MOMENTS, Shows.MOMENT),
        (BUILT_IN_ELAPSED, Shows.ELAPSED),
        (BUILT_IN_PERCENT, Shows.PERCENT),
    ):
        if known in numbers:
            return NumberForm(shows)
    return AS_IT_IS
