import math
from contextlib import suppress
from datetime import date, datetime, time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.intake.mapping.cell_problem import Refused
from service.intake.mapping.written.numbers import NumberRule, read_number, read_share, times
from tests.intake.mapping.refusals import refusal

OPEN, POINT, COMMA = NumberRule(), NumberRule(decimal="."), NumberRule(decimal=",")


@pytest.mark.parametrize(
    ("written", "rule", "number"),
    [
        ("7.5", OPEN, 7.5),
        (" 7.5 ", OPEN, 7.5),
        ("\u00a07.5", OPEN, 7.5),
        ("7,5", OPEN, 7.5),
        ("0,252", OPEN, 0.252),  # no thousands begin with a nought
        ("51,2917039321127", OPEN, 51.2917039321127),
        ("11.8483", OPEN, 11.8483),
        ("-0.047", OPEN, -0.047),
        ("\u22120.5", OPEN, -0.5),  # the minus sign of typesetters, U+2212
        ("+3", OPEN, 3.0),
        (".5", OPEN, 0.5),
        ("5.", OPEN, 5.0),
        ("1.2E+03", OPEN, 1200.0),
        ("1e-2", OPEN, 0.01),
        ("1,234", COMMA, 1.234),
        ("1.234", POINT, 1.234),
        ("1.234", OPEN, 1.234),
        ("1,234.5", NumberRule(".", ","), 1234.5),
        ("1,234,567", NumberRule(".", ","), 1234567.0),
        ("1.234,5", NumberRule(",", "."), 1234.5),
        ("1 234,5", NumberRule(",", " "), 1234.5),
        ("1\u202f234,5", NumberRule(",", " "), 1234.5),  # a narrow blank that does not break (SI brochure)
        ("1\u2019234.5", NumberRule(".", "'"), 1234.5),
        ("2419.6", NumberRule(".", ","), 2419.6),
        (7.5, OPEN, 7.5),
        (12, COMMA, 12.0),
    ],
)
def test_what_is_a_number(written: str | float, rule: NumberRule, number: float) -> None:
    assert read_number(written, rule) == number


@pytest.mark.parametrize(
    ("written", "rule", "why"),
    [
        ("1,234", OPEN, "may be 1234 or 1.234"),
        ("-1,234", OPEN, "may be -1234 or -1.234"),
        ("1,234", POINT, "has a comma"),
        ("7,5", POINT, "has a comma"),
        ("7.5", COMMA, "has a decimal point"),
        ("1.234", COMMA, "has a decimal point"),
        ("1,234.5", OPEN, "may part thousands"),
        ("1.234.567", OPEN, "may part thousands"),
        ("1 234", OPEN, "may part thousands"),
        ("12,34", NumberRule(".", ","), 'has a "," that does not part thousands'),
        ("1234,567", NumberRule(".", ","), 'has a "," that does not part thousands'),
        ("1.2,345", NumberRule(".", ","), 'has a "," that does not part thousands'),
        ("7.5 mg/L", OPEN, '"mg/L" behind the number; write 7.5 alone'),
        ("26°C", OPEN, '"°C" behind the number'),
        ("1 Meters", OPEN, '"Meters" behind the number'),
        ("95%", OPEN, "percent sign"),
        ("12-14", OPEN, "more than one number"),
        ("12 to 14", OPEN, "more than one number"),
        ("1/2", OPEN, "more than one number"),
        ("~7", OPEN, 'has "~" beside the number; if 7 was read'),
        ("7?", OPEN, 'has "?" beside the number; if 7 was read'),
        ("3.2*", OPEN, 'has "*" beside the number; if 3.2 was read'),
        ("6·5", OPEN, "has a raised point; write 6.5"),
        ("6·5", NumberRule(","), "has a raised point; write 6,5"),
        ("nd", OPEN, "is not a number"),
        ("NaN", OPEN, "is not a number"),
        ("inf", OPEN, "is not a number"),
        ("1_000", OPEN, "is not a number"),
        ("٣", OPEN, "is not a number"),  # a digit, but not one that every reader knows
        ("--5", OPEN, "is not a number"),
        ("1e999", OPEN, "larger than any reading"),
        ("9" * 41, OPEN, "too long"),
        (math.nan, OPEN, "is no number"),
        (10**400, OPEN, "is no number"),
        (math.inf, OPEN, "is no number"),
        (True, OPEN, "holds TRUE"),
        (date(2026, 5, 7), OPEN, "holds a date"),
        (datetime(2026, 5, 7), OPEN, "holds a date"),
        (time(7, 5), OPEN, "holds a date"),
    ],
)
def test_what_is_refused(written: object, rule: NumberRule, why: str) -> None:
    assert why in refusal(read_number, written, rule)


@settings(max_examples=50, deadline=None)
@given(st.floats(allow_nan=False, allow_infinity=False))
def test_what_a_program_writes_is_read_back(number: float) -> None:
    assert read_number(repr(number), POINT) == number
    assert read_number(repr(number).replace(".", ","), COMMA) == number


@settings(max_examples=50, deadline=None)
@given(st.integers(min_value=-(10**15), max_value=10**15))
def test_thousands_that_a_program_parts_are_read_back(number: int) -> None:
    assert read_number(f"{number:,}", NumberRule(".", ",")) == number
    assert read_number(f"{number:,}".replace(",", "."), NumberRule(",", ".")) == number


@settings(max_examples=50, deadline=None)
@given(st.text(max_size=60))
def test_no_text_is_read_as_what_is_no_number(written: str) -> None:
    with suppress(Refused):
        assert math.isfinite(read_number(written, OPEN))


def test_a_long_text_is_refused_at_once() -> None:
    assert "too long" in refusal(read_number, "1" + "a" * 100_000 + "1 1", OPEN)


@pytest.mark.parametrize(
    ("written", "share"),
    [("1/4", 0.25), ("3 / 8", 0.375), ("25%", 0.25), ("12.5 %", 0.125), ("0.5", 0.5), (1, 1.0)],
)
def test_parts_of_a_sample(written: str | int, share: float) -> None:
    assert read_share(written, OPEN) == share


@pytest.mark.parametrize(
    ("written", "why"),
    [("1/0", "divided by nothing"), ("half", "not a number"), (date(2026, 4, 1), "holds a date")],
)
def test_parts_that_are_none(written: object, why: str) -> None:
    assert why in refusal(read_share, written, OPEN)


@pytest.mark.parametrize(
    ("number", "factor", "product"),
    [(7.1, None, 7.1), (0.29, 100, 29.0), (20.56, 0.014007, 0.28798392)],
    ids=["as written", "metres to centimetres", "micromoles of nitrogen to milligrams"],
)
def test_what_a_number_is_multiplied_by(number: float, factor: float | None, product: float) -> None:
    assert times(number, factor) == product
