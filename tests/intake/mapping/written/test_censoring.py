from datetime import date

import pytest

from service.intake.mapping.written.censoring import Limited, read_limited
from service.intake.mapping.written.numbers import NumberRule
from tests.intake.mapping.refusals import refusal

OPEN = NumberRule()


@pytest.mark.parametrize(
    ("written", "limited"),
    [
        ("0.5", (0.5, "")),
        (0.5, (0.5, "")),
        ("<0.5", (0.5, "<")),
        ("< 0.5", (0.5, "<")),
        (" <0,5", (0.5, "<")),
        (">60", (60.0, ">")),
        ("> 2419.6", (2419.6, ">")),
        ("60+", (60.0, ">")),
        ("60 +", (60.0, ">")),
        ("+60", (60.0, "")),
        ("0", (0.0, "")),
    ],
)
def test_what_a_cell_says_of_its_number(written: str | float, limited: tuple[float, str]) -> None:
    assert read_limited(written, OPEN) == Limited(*limited)


@pytest.mark.parametrize(
    ("written", "why"),
    [
        ("≤0.5", "limit itself"),
        ("≥ 60", "limit itself"),
        ("<=0.5", "limit itself"),
        (">=60", "limit itself"),
        ("=<0.5", "limit itself"),
        ("<60+", "before and behind"),
        ("<", "is not a number"),
        ("<nd", "is not a number"),
        ("< 0.5 mg/L", "behind the number"),
        ("<1,234", "may be 1234 or 1.234"),
        ("< 5%", "percent sign"),
        ("<<5", "is not a number"),
        ("5>", "is not a number"),
        ("BDL", "is not a number"),
        (date(2026, 5, 1), "holds a date"),
        ("<" + "5" * 50, "too long"),
    ],
)
def test_what_is_refused(written: object, why: str) -> None:
    assert why in refusal(read_limited, written, OPEN)


@pytest.mark.parametrize(
    ("written", "limited"),
    [
        ("95%", (95.0, "")),
        ("> 120 %", (120.0, ">")),
        ("95", (95.0, "")),
    ],
)
def test_a_percent_sign_is_no_fault_of_a_percentage(written: str, limited: tuple[float, str]) -> None:
    assert read_limited(written, OPEN, percent=True) == Limited(*limited)
