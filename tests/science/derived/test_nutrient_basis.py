import pytest

from service.science.derived.nutrient_basis import nitrate_as_no3, nitrite_as_no2, phosphate_as_po4
from service.science.types import Censoring
from tests.science.kits import NITRATE_TABLETS, read
from tests.science.qa.visits import visit_with


@pytest.mark.parametrize(
    ("derivation", "parameter", "unit", "expected"),
    [
        # 1 mg/L as N or P (IUPAC abridged atomic weights 2021, computed separately)
        (nitrate_as_no3, "nitrate", "mg/L as NO3", 4.4266438),
        (nitrite_as_no2, "nitrite", "mg/L as NO2", 3.2844292),
        (phosphate_as_po4, "phosphate", "mg/L as PO4", 3.0661358),
    ],
)
def test_as_the_whole_ion(derivation, parameter, unit, expected):
    found = derivation(visit_with(read(parameter, 1.0)))
    assert (found.value, found.unit) == (pytest.approx(expected, abs=2e-4), unit)
    assert found.parameter == f"{parameter}_as_{unit.removeprefix('mg/L as ').lower()}"
    assert derivation(visit_with(read("ph", 7.0))) is None


def test_a_card_in_nitrate_gets_its_own_numbers_back():
    found = nitrate_as_no3(visit_with(read("nitrate", 20.0, "mg/L as NO3", kit=NITRATE_TABLETS)))
    assert (found.low, found.value, found.high) == pytest.approx((12.5, 20.0, 30.0))


def test_none_seen_is_less_than_the_first_mark():
    found = nitrate_as_no3(visit_with(read("nitrate", 0.0, "mg/L as NO3", kit=NITRATE_TABLETS)))
    assert (found.value, found.censored) == (pytest.approx(5.0), Censoring.BELOW)
    assert found.low == 0.0
