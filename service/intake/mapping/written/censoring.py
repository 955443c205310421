"""Readings that are only limits: <0.5, > 60, 60+."""

import re
from typing import NamedTuple

from service.intake.mapping.cell_problem import Refused
from service.intake.mapping.written.numbers import LONGEST_NUMBER, NumberRule, read_number
from service.intake.mapping.written.words import plain_blanks
from service.intake.sheets.cell import Value

_SIGN_BEFORE = re.compile(r"([<>])\s*([^<>=≤≥].*)", re.ASCII)
_LIMIT_INCLUDED = re.compile(r"(≤|≥|<=|>=|=<|=>|⩽|⩾)", re.ASCII)


class Limited(NamedTuple):
    """A reading: the number, and on which side of it the true value lies (empty: the number itself)."""

    number: float
    sign: str = ""


def read_limited(value: Value, rule: NumberRule, *, percent: bool = False) -> Limited:
    """Return the reading that a cell holds; with ``percent`` a percent sign behind it is no fault.

    Raises
    ------
    Refused
        It holds no number, or a sign that includes the limit.
    """
    if not isinstance(value, str):
        return Limited(read_number(value, rule))
    text = plain_blanks(value)
    if len(text) > LONGEST_NUMBER:
        return Limited(read_number(text, rule))
    sign = ""
    if _LIMIT_INCLUDED.search(text):
        raise Refused(
            "says that the limit itself may be the value; write < or > where the kit could show no more, "
            "or the number alone where it was read"
        )
    if found := _SIGN_BEFORE.fullmatch(text):
        sign, text = found[1], found[2]
    if text.endswith("+"):
        if sign:
            raise Refused("has a sign before and behind the number; keep one of them")
        sign, text = ">", text[:-1].rstrip()
    if percent and text.endswith("%"):
        text = text[:-1].rstrip()
    return Limited(read_number(text, rule), sign)
