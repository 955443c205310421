"""Watershed codes: read as they are written in the trade, and nested by their beginning."""

import pytest

from service.science.watershed_code import SCHEMES, WatershedCode, levels, read_code
from tests.science.check_table import rows

CODES = rows("watershed_codes")
LEGAL = [row for row in CODES if row["expected"]]
ILLEGAL = [row for row in CODES if not row["expected"]]
PREFIXES = rows("watershed_prefixes")


def named(row: dict[str, str]) -> str:
    return "-".join(list(row.values())[:3])


@pytest.mark.parametrize("row", LEGAL, ids=named)
def test_a_legal_code_is_read_and_a_restored_zero_is_recorded(row: dict[str, str]) -> None:
    code = read_code(row["scheme"], row["text"])
    assert (code.scheme, code.code) == (row["scheme"], row["expected"])
    assert code.zero_restored == (row["zero_restored"] == "yes")


@pytest.mark.parametrize("row", ILLEGAL, ids=named)
def test_a_code_that_is_not_legal_is_refused(row: dict[str, str]) -> None:
    with pytest.raises(ValueError):
        read_code(row["scheme"], row["text"])


def place(asked: WatershedCode, site: WatershedCode) -> str:
    """Where a site lies, told by the range that the database is asked for, and by the levels around it."""
    if asked.scheme == site.scheme and asked.code <= site.code < asked.upper_bound:
        return "yes"
    return "undetermined" if site.code in levels(asked) else "no"


@pytest.mark.parametrize("row", PREFIXES, ids=named)
def test_a_site_lies_inside_what_its_code_begins_with(row: dict[str, str]) -> None:
    if row["expected"] == "refused":
        with pytest.raises(ValueError):
            read_code(row["scheme"], row["asked"])
        return
    asked = read_code(row["scheme"], row["asked"])
    assert place(asked, WatershedCode(row["scheme"], row["site_code"])) == row["expected"]


def test_the_range_holds_what_begins_with_the_code_and_nothing_else() -> None:
    every_code = [f"{number:0{length}}" for length in (2, 4) for number in range(10**length)]
    for asked in ("02", "09", "0200", "0299", "19", "1999", "22"):
        bounds = WatershedCode("huc", asked)
        found = [code for code in every_code if asked <= code < bounds.upper_bound]
        assert found == [code for code in every_code if code.startswith(asked)]


@pytest.mark.parametrize(
    ("scheme", "code", "around"),
    [
        # USGS and NRCS, Watershed Boundary Dataset: from the region down to the subwatershed.
        ("huc", "020700100103", ("02", "0207", "020700", "02070010", "0207001001", "020700100103")),
        ("huc", "02", ("02",)),
        # HydroBASINS technical documentation v1.c (Lehner): one digit a level.
        ("pfafstetter", "7420", ("7", "74", "742", "7420")),
    ],
)
def test_the_levels_around_a_code_are_those_of_its_scheme(scheme: str, code: str, around: tuple) -> None:
    assert levels(WatershedCode(scheme, code)) == around


def test_a_code_is_written_with_its_scheme() -> None:
    assert read_code("huc", "207").text == "huc:0207"


def test_the_schemes_offered_are_those_of_the_table() -> None:
    assert set(SCHEMES) == {row["scheme"] for row in LEGAL}
