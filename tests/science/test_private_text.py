"""Free text that leads to a person is noticed; what a class writes at a creek is not."""

import pytest

from service.science.private_text import privacy_caution, private_shapes

EMAIL, TELEPHONE = "an e-mail address", "a telephone number"

# Numbers of North America come from 555-0100 to 555-0199, those of Britain and France from the blocks that
# are kept free for plays and books (NANPA; Ofcom; ARCEP): nobody has them. From memory.
HELD = [
    ("write to pat.lee+creek@school.example", {EMAIL}),
    ("PAT@SCHOOL.EXAMPLE.", {EMAIL}),
    ("<zoë@schule.example>", {EMAIL}),
    ("pat＠school.example", {EMAIL}),  # the wide at sign of East Asian keyboards
    ("my number: (212) 555-0123", {TELEPHONE}),
    ("212-555-0123", {TELEPHONE}),
    ("212.555.0123", {TELEPHONE}),
    ("212 555 0123, ask for Pat", {TELEPHONE}),
    ("2125550123", {TELEPHONE}),
    ("1-212-555-0123", {TELEPHONE}),
    ("+1 (212) 555-0123", {TELEPHONE}),
    ("+44 20 7946 0123", {TELEPHONE}),
    ("0044 20 7946 0123", {TELEPHONE}),
    ("00442079460123", {TELEPHONE}),
    ("020 7946 0123", {TELEPHONE}),
    ("(020) 7946 0123", {TELEPHONE}),
    ("01 99 00 12 34", {TELEPHONE}),
    ("01.99.00.12.34", {TELEPHONE}),
    ("call me 555-0123", {TELEPHONE}),
    ("Tel. 946 0123", {TELEPHONE}),
    ("２１２-５５５-０１２３", {TELEPHONE}),  # wide digits
    ("pat@school.example or 212-555-0123", {EMAIL, TELEPHONE}),
]
NOT_HELD = [
    "",
    "Brown water after the storm; 3 mayflies got away.",
    "2026-03-12 10:15, 12/03/2026 10:15, 12.03.2026",
    "12.03.2026 10:15:30 and 3/4/26",
    "pH 7.0, 7.5, 7.0; oxygen 8 8.5 9 mg/L; 12.5 degC at 10:15",
    "200-1200 uS/cm on the meter, 1000 2000 3000 4000 before",
    "0 12 14 13 12 11 of each in the pan",
    "at 40.123456, -75.654321",
    "at +40.123456-075.654321",
    "40.12345678 75.65432100",
    "watershed 020700100103, also 0207001001 and 02070010",
    "picture 20260312101500",
    "visit 019c2f4e-6f0e-7c3a-9b1e-2f6f0c1a7d11",
    "lot 12345-678, box 2026-117",
    "we met @ 10 at the 2nd bridge @creek",
    "called the coordinator at 10:15, 12.5 degC; text 5 6 7 8 9 10",
    "1234567890123456789012345",
]


@pytest.mark.parametrize(("text", "held"), HELD)
def test_what_leads_to_a_person_is_noticed(text: str, held: set[str]) -> None:
    assert set(private_shapes(text)) == held


@pytest.mark.parametrize("text", NOT_HELD)
def test_what_a_class_writes_down_is_not(text: str) -> None:
    assert private_shapes(text) == ()


def test_the_caution_names_the_kind_and_never_the_thing() -> None:
    told = privacy_caution("The notes", "pat@school.example, 212-555-0123")
    assert told is not None
    assert told.startswith("The notes seem to hold an e-mail address and a telephone number.")
    assert not any(part in told for part in ("pat", "212", "0123"))
    assert privacy_caution("The notes", "muddy bank") is None
