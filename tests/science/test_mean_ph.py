import pytest

from service.science.mean_ph import mean_ph
from tests.science.check_table import rows

MEANS = [
    ([float(ph) for ph in row["readings"].split()], float(row["expected"]), float(row["tolerance"]))
    for row in rows("mean_ph")
]


@pytest.mark.parametrize(("readings", "expected", "tolerance"), MEANS)
def test_mean_ph(readings, expected, tolerance):
    assert mean_ph(readings) == pytest.approx(expected, abs=tolerance)


@pytest.mark.parametrize("readings", [[7.0, 14.1], [-0.1], []])
def test_what_is_no_ph_has_no_mean(readings):
    with pytest.raises(ValueError):
        mean_ph(readings)


def test_the_ends_of_the_scale_are_on_it():
    assert mean_ph([0.0, 0.0]) == 0.0
    assert mean_ph([14.0]) == pytest.approx(14.0)
