"""Numbers as people write them, taken only where one reading of them is possible."""

import math
import re
import sys
from dataclasses import dataclass
from datetime import date, time

from service.intake.mapping.cell_problem import Refused, quoted
from service.intake.mapping.written.words import plain_blanks
from service.intake.sheets.cell import Value

LONGEST_NUMBER = 40
_PLAIN = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d{1,3})?", re.ASCII)
_COULD_BE_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2}(,\d{3})+", re.ASCII)
_WITH_LETTERS = re.compile(r"([+-]?[\d.,]+)\s*([^\d\s.,+\-*~<>≤≥?!()\[\]_][^\d]*\S*)", re.ASCII)
_RAISED_POINT = re.compile(r"([+-]?\d+)[·˙•∙](\d+)")
_WITH_A_SIGN = re.compile(r"([~≈±*!?]+|ca\.?)\s*([0-9.,]*[0-9])|([0-9.,]*[0-9])\s*([*!?~]+)")
_TWO_NUMBERS = re.compile(r"\d\s*([-–/;]|to|bis|à)\s*\d", re.ASCII)


@dataclass(frozen=True, slots=True)
class NumberRule:
    """The signs of a sheet's numbers; ``None`` where its mapping does not say."""

    decimal: str | None = None
    thousands: str | None = None


def read_number(value: Value, rule: NumberRule) -> float:
    """Return the number that a cell holds.

    Raises
    ------
    Refused
        It holds something else, or may stand for more than one number.
    """
    if isinstance(value, bool):
        raise Refused(f"holds {'TRUE' if value else 'FALSE'}, which is no number; write the number")
    if isinstance(value, int | float):
        if not abs(value) <= sys.float_info.max:
            raise Refused("is no number that can be; write the number as it was read")
        return float(value)
    if isinstance(value, date | time):
        raise Refused(
            "holds a date, which a spreadsheet may have made of a number (7.5 becomes 7 May); "
            "format the cell as a number and type it anew"
        )
    text = plain_blanks(str(value))
    if len(text) > LONGEST_NUMBER:
        raise Refused("is too long for a number; write the number as it was read")
    number = float(_plain(text, rule))
    if not math.isfinite(number):
        raise Refused("is larger than any reading; correct the number")
    return number


def read_share(value: Value, rule: NumberRule) -> float:
    """Return a part of a whole, written as 0.25, 25 % or 1/4.

    Raises
    ------
    Refused
        It is none of these.
    """
    text = plain_blanks(value) if isinstance(value, str) else ""
    if found := re.fullmatch(r"(\d{1,4})\s*/\s*(\d{1,4})", text, re.ASCII):
        if int(found[2]) == 0:
            raise Refused("is divided by nothing; write the part that was sorted, such as 1/4")
        return int(found[1]) / int(found[2])
    if text.endswith("%"):
        return times(read_number(text[:-1], rule), 0.01)
    return read_number(value, rule)


def times(number: float, factor: float | None) -> float:
    """Return a number in the unit wanted, to 12 significant digits; as written where there is no factor."""
    return number if factor is None else float(f"{number * factor:.12g}")


def _plain(text: str, rule: NumberRule) -> str:
    """Return a written number with a point before its decimals and nothing between its thousands."""
    text = text.replace("\u2212", "-").replace("\u2019", "'")
    decimal = rule.decimal or "."
    if rule.thousands is not None:
        text = _without_thousands(text, rule.thousands, decimal)
    if rule.decimal is None and "," in text and "." not in text:
        if _COULD_BE_THOUSANDS.fullmatch(text):
            raise Refused(
                f"may be {text.replace(',', '')} or {text.replace(',', '.', 1)}; "
                "say in the mapping which sign stands before the decimals"
            )
        decimal = ","
    if decimal == ",":
        if "." in text and _PLAIN.fullmatch(text):
            raise Refused(
                "has a decimal point, but the mapping says that this sheet writes a comma; correct one"
            )
        text = text.replace(",", ".") if text.count(",") == 1 else text
    if not _PLAIN.fullmatch(text):
        raise Refused(_why_not(text, decimal))
    return text


def _without_thousands(text: str, sign: str, decimal: str) -> str:
    if sign not in text:
        return text
    whole, _, rest = text.partition(decimal)
    first, *groups = whole.split(sign)
    if (
        sign in rest
        or not re.fullmatch(r"[+-]?\d{1,3}", first, re.ASCII)
        or not all(map(_three_digits, groups))
    ):
        raise Refused(f'has a "{sign}" that does not part thousands; write the number without it')
    return whole.replace(sign, "") + (decimal + rest if rest else "")


def _three_digits(group: str) -> bool:
    return re.fullmatch(r"\d{3}", group, re.ASCII) is not None


def _why_not(text: str, decimal: str) -> str:
    if text.endswith("%"):
        return "has a percent sign, but this column is not in %; write the number in the column's own unit"
    if re.fullmatch(r"[+-]?\d+,\d+", text, re.ASCII) and decimal == ".":
        return "has a comma, but the mapping says that this sheet writes a decimal point; correct one"
    if re.fullmatch(r"[+-]?[\d., ']*\d", text, re.ASCII):
        return "has signs that may part thousands; write the number without them, or say it in the mapping"
    if _TWO_NUMBERS.search(text):
        return "holds more than one number; write the one that was read"
    if found := _RAISED_POINT.fullmatch(text):
        return f"has a raised point; write {found[1]}{decimal}{found[2]}, if that is what was read"
    if found := _WITH_LETTERS.fullmatch(text):
        return (
            f'has "{quoted(found[2])}" behind the number; write {found[1]} alone, the mapping says the unit'
        )
    if found := _WITH_A_SIGN.fullmatch(text):
        sign, number = found[1] or found[4], found[2] or found[3]
        return f'has "{sign}" beside the number; if {number} was read, write it alone'
    return "is not a number; write the number as it was read, or leave the cell empty"
