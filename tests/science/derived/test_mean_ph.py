import pytest

from service.science.derived.mean_ph import ph_of_replicates
from service.science.types import Kit
from tests.science.kits import PH_WHOLE, read
from tests.science.qa.visits import visit_with


def derived(*readings):
    return ph_of_replicates(visit_with(*readings))


def test_three_readings_have_the_mean_of_their_hydrogen_ion():
    # 6, 7, 8: 6.431798 by the definition of pH, computed separately; the plain mean would be 7
    found = derived(*(read("ph", ph) for ph in (6.0, 7.0, 8.0)))
    assert found.value == found.low == found.high == pytest.approx(6.431798, abs=1e-6)
    assert (found.parameter, found.unit, found.assumed) == ("ph_mean", "std units", ("mean of 3 readings",))


def test_the_ends_of_the_intervals_are_averaged_alike():
    found = derived(read("ph", 7.0, kit=PH_WHOLE), read("ph", 7.0, kit=PH_WHOLE))
    assert (found.low, found.value, found.high) == pytest.approx((6.5, 7.0, 7.5))


def test_one_reading_or_a_limit_has_no_mean():
    assert derived(read("ph", 7.0)) is None
    assert derived(read("ph", 7.0), read("ph", 10.0, censored=">")) is None


@pytest.mark.parametrize("ph", [0.0, 14.0])
def test_at_an_end_of_the_scale_the_interval_stops(ph):
    meter = Kit("ph-meter", "meter", "meter", "ph", "std units", 0, 14, step=0.1, accuracy=0.2)
    found = derived(read("ph", ph, kit=meter), read("ph", ph, kit=meter))
    assert (found.low, found.high) == pytest.approx((max(ph - 0.2, 0.0), min(ph + 0.2, 14.0)))
