from dataclasses import replace
from math import inf

import pytest

from service.science.derived.discharge import measured_discharge
from service.science.gauging import Bottom, FloatGauging, Transect, Vertical, VerticalGauging
from tests.science.check_table import numbers
from tests.science.kits import read
from tests.science.qa.visits import visit_with

TABLE = VerticalGauging(tuple(Vertical(*row[:3]) for row in numbers("mid_section")))
TWO = (Transect(3.0, (0.2, 0.4, 0.2)), Transect(4.0, (0.2, 0.4, 0.2)))  # 0.6 and 0.8 m2, by hand
FLOATS = FloatGauging(6.0, (12.0, 15.0, 18.0), Bottom.ROCKY, TWO)


def derived(gauging, *readings):
    return measured_discharge(replace(visit_with(*readings), gauging=gauging))


def test_floats():
    # 0.7 m2 x 6 m x 0.8 / 15 s; the smaller area with 18 s and the larger with 12 s, by hand
    found = derived(FLOATS)
    assert (found.low, found.value, found.high) == pytest.approx((0.16, 0.224, 0.32))
    assert found.assumed == ("0.8 of the speed of the floats, for a rocky bed",)


def test_one_transect_stands_for_the_whole_length():
    found = derived(replace(FLOATS, bottom=Bottom.MUDDY, transects=TWO[:1]))
    assert found.value == pytest.approx(0.6 * 6 * 0.9 / 15)
    assert found.assumed == (
        "0.9 of the speed of the floats, for a muddy bed",
        "one transect for the whole length",
    )


def test_verticals():
    # 0.533615 m3/s, largest share 19.79 % (invented stream, worked out twice apart from this code); 10
    # verticals with water leave 9 % (ISO 748, from memory)
    found = derived(TABLE)
    assert (found.low, found.value, found.high) == pytest.approx((0.485590, 0.533615, 0.581640), abs=1e-6)
    assert found.assumed == (
        "doubt of 10 verticals alone; that of depths and speeds comes on top",
        "one vertical carries 20 % of the flow; 10 % at most is wanted",
    )


def test_fewer_than_five_verticals_leave_the_doubt_open():
    found = derived(VerticalGauging((Vertical(0, 0, 0), Vertical(1, 0.2, 0.3), Vertical(2, 0, 0))))
    assert (found.low, found.value, found.high) == (0.0, pytest.approx(0.06), inf)
    assert found.assumed[0] == "1 verticals with water are too few to tell the doubt; five are the least"


def test_even_verticals_say_nothing_of_their_shares():
    # of eleven the two at the edges count half: each of the others carries exactly 10 %
    even = tuple(Vertical(n, 0.2, 0.3) for n in range(11))
    assert len(derived(VerticalGauging(even)).assumed) == 1


def test_a_little_more_than_a_tenth_is_told():
    uneven = (*(Vertical(n, 0.2, 0.3) for n in range(10)), Vertical(10, 0.2, 0.29))
    assert "one vertical carries 10 % of the flow" in derived(VerticalGauging(uneven)).assumed[1]


def test_standing_water_is_a_discharge_of_0():
    still = VerticalGauging(tuple(Vertical(n, 0.2, 0.0) for n in range(6)))
    assert (derived(still).value, len(derived(still).assumed)) == (0.0, 1)


def test_it_is_not_worked_out_where_it_was_read_or_not_measured():
    assert derived(FLOATS, read("discharge", 0.2)) is None
    assert derived(None) is None
