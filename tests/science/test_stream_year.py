from datetime import date, timedelta
from itertools import pairwise

import pytest

from service.science.stream_year import StreamYear

YEAR = StreamYear(27.0, 32.0, 1.0, 20.0, 212.0)
WARMEST, COLDEST = date(2026, 7, 31), date(2026, 1, 29)


@pytest.mark.parametrize(
    ("latitude", "on", "expected"),
    [
        # by hand: sin 30 = 1/2, sin 45 squared = 1/2; mean 27 - 32 s, swing 1 + 20 s
        (0.0, WARMEST, 28.0),
        (0.0, COLDEST, 26.0),
        (30.0, WARMEST, 25.0),
        (30.0, COLDEST, 13.0),
        (45.0, WARMEST, 22.0),
        (45.0, COLDEST, 0.0),
        (90.0, COLDEST, 0.0),  # 27 - 32 - 21 would be far below freezing
    ],
)
def test_warmest_and_coldest_day(latitude, on, expected):
    assert YEAR.expected_temperature_c(latitude, on) == pytest.approx(expected, abs=0.01)


def test_the_south_is_half_a_year_off():
    assert YEAR.expected_temperature_c(-45.0, COLDEST) == pytest.approx(22.0, abs=0.01)
    assert YEAR.expected_temperature_c(-30.0, WARMEST) == pytest.approx(13.0, abs=0.01)


@pytest.mark.parametrize("latitude", [-50.0, -10.0, 35.0, 60.0])
def test_the_year_closes_without_a_jump(latitude):
    days = [date(2027, 12, 1) + timedelta(days=n) for n in range(62)]
    temperatures = [YEAR.expected_temperature_c(latitude, day) for day in days]
    steps = [abs(after - before) for before, after in pairwise(temperatures)]
    assert max(steps) < 0.4


@pytest.mark.parametrize("latitude", [90.1, -91.0, float("nan")])
def test_no_such_latitude(latitude):
    with pytest.raises(ValueError, match="latitude"):
        YEAR.expected_temperature_c(latitude, WARMEST)
