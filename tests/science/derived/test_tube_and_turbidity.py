import pytest

from service.science.derived.tube_and_turbidity import tube_from_turbidity, turbidity_from_tube
from service.science.transparency_tube import LABEL
from service.science.types import Censoring
from tests.science.kits import TUBE_60, TUBE_120, TURBIDITY_METER, read
from tests.science.qa.visits import visit_with


def test_a_depth_suggests_a_turbidity_within_a_factor_of_two():
    # 20 cm: 43.790 NTU (Myre & Shaw 2006, computed separately)
    found = turbidity_from_tube(visit_with(read("transparency", 20.0)))
    assert (found.parameter, found.unit, found.assumed) == ("turbidity_estimate", "NTU", (LABEL,))
    assert (found.low, found.value, found.high) == pytest.approx((21.895, 43.790, 87.580), abs=1e-3)


def test_the_deeper_end_is_the_clearer():
    # 19.5 and 20.5 cm: 45.497 and 42.186 NTU (the same, computed separately)
    found = turbidity_from_tube(visit_with(read("transparency", 20.0, kit=TUBE_60)))
    assert (found.low, found.high) == pytest.approx((42.186 / 2, 45.497 * 2), abs=0.01)


@pytest.mark.parametrize(("kit", "below"), [(TUBE_60, 8.3301), (TUBE_120, 2.9236)])
def test_a_full_tube_is_less_turbid_than(kit, below):
    found = turbidity_from_tube(visit_with(read("transparency", kit.upper, kit=kit)))
    assert (found.value, found.censored) == (pytest.approx(below, abs=1e-3), Censoring.BELOW)
    assert (found.low, found.high) == (0.0, pytest.approx(2 * below, abs=1e-3))


@pytest.mark.parametrize("depth_cm", [90.0, 5.0])
def test_where_the_relation_ends_there_is_no_value(depth_cm):
    with pytest.raises(ValueError):
        turbidity_from_tube(visit_with(read("transparency", depth_cm, kit=TUBE_120)))


def test_a_turbidity_suggests_a_depth():
    # 25 NTU: 28.986 cm; twice 25.05 and half of 24.95 NTU: 18.295 and 45.924 cm (the same, by logarithms)
    found = tube_from_turbidity(visit_with(read("turbidity", 25.0, kit=TURBIDITY_METER)))
    assert (found.parameter, found.unit) == ("transparency_estimate", "cm")
    assert found.value == pytest.approx(28.986, abs=1e-3)
    assert (found.low, found.high) == pytest.approx((18.295, 45.924), abs=1e-3)


def test_what_was_read_is_not_estimated():
    both = visit_with(read("transparency", 20.0), read("turbidity", 40.0))
    assert turbidity_from_tube(both) is tube_from_turbidity(both) is None
    assert turbidity_from_tube(visit_with()) is tube_from_turbidity(visit_with()) is None
