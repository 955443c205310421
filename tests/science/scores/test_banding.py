from decimal import Decimal

import numpy as np
import pytest

from service.science.scores.banding import band_of, round_half_up, shares_of_bands
from tests.science.scores.definitions import DEFINITIONS

STREAMSIDE = DEFINITIONS["streamside-survey"].bands
FAMILY = DEFINITIONS["family-biotic-core"].bands


@pytest.mark.parametrize(
    ("value", "decimals", "expected"),
    [
        # arithmetic by hand: a half goes up, also where the digit before it is even
        (Decimal(751) / 200, 2, "3.76"),
        (Decimal("4.125"), 2, "4.13"),
        (Decimal("4.1249999"), 2, "4.12"),
        (Decimal("39.95"), 1, "40.0"),
        (Decimal("2.5"), 0, "3"),
        (Decimal(852) / 181, 2, "4.71"),
    ],
)
def test_round_half_up(value, decimals, expected):
    assert str(round_half_up(value, decimals)) == expected


@pytest.mark.parametrize(
    ("value", "bands", "expected"),
    [
        # above 40 good, 20 to 40 fair, below 20 poor: EPA 841-B-97-003, from memory
        ("40.1", STREAMSIDE, "good"),
        ("40.0", STREAMSIDE, "fair"),
        ("20.0", STREAMSIDE, "fair"),
        ("19.9", STREAMSIDE, "poor"),
        ("0.0", STREAMSIDE, "poor"),
        # Hilsenhoff 1988, from memory
        ("3.75", FAMILY, "excellent"),
        ("3.76", FAMILY, "very good"),
        ("10.00", FAMILY, "very poor"),
        ("10.01", FAMILY, None),
    ],
)
def test_band_of(value, bands, expected):
    assert band_of(Decimal(value), bands) == expected


def test_shares_round_each_value_half_up_as_the_score_is():
    # 3.755 is 3.76 although its binary fraction is a little less; 3.7549 is 3.75
    values = np.array([751 / 200, 3.7549, 3.75, 9.0])
    shares = shares_of_bands(values, FAMILY, 2)
    assert shares == {"excellent": 0.5, "very good": 0.25, "very poor": 0.25}


def test_every_hundredth_from_0_to_10_is_in_exactly_one_band():
    for hundredths in range(1001):
        value = Decimal(hundredths) / 100
        holding = [band.name for band in FAMILY if band_of(value, [band])]
        assert len(holding) == 1, value
