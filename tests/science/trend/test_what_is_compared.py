"""Which values enter a trend: one median a month, months with enough years, one kind of kit."""

from datetime import date
from math import inf

import numpy as np
import pytest

from service.science.trend.monthly_medians import MonthlyMedian, Observation, monthly_medians, season_table
from service.science.trend.one_method import newest_run


def readings(*pairs, method="meter"):
    return [Observation(date.fromisoformat(day), value, value, method) for day, value in pairs]


def test_a_busy_month_weighs_no_more_than_a_quiet_one():
    weekly = readings(("2024-05-02", 7), ("2024-05-09", 9), ("2024-05-16", 8), ("2024-06-06", 5))
    assert monthly_medians(weekly) == (
        MonthlyMedian(2024, 5, 8, 8, 3),
        MonthlyMedian(2024, 6, 5, 5, 1),
    )


def test_a_median_may_be_open():
    full_tube = [Observation(date(2024, 5, day), 60, inf, "tube") for day in (1, 8)]
    assert monthly_medians([*full_tube, *readings(("2024-05-15", 40))]) == (
        MonthlyMedian(2024, 5, 60, inf, 3),
    )


def test_a_computed_median_ties_with_the_same_number_read():
    # (0.1 + 0.7) / 2 is 0.39999999999999997 in binary fractions
    (found,) = monthly_medians(readings(("2024-05-01", 0.1), ("2024-05-02", 0.7)))
    assert found.low == found.high == 0.4


def medians(*months):
    return [MonthlyMedian(year, month, 1.0 * year, 1.0 * year, 1) for year, month in months]


def test_months_with_too_few_years_have_no_column_and_years_without_a_value_no_row():
    found = season_table(medians((2019, 4), (2020, 4), (2020, 5), (2022, 4), (2023, 5), (2024, 6)), 2)
    assert (found.years, found.months) == ((2019, 2020, 2022, 2023), (4, 5))
    expected = [[2019, np.nan], [2020, 2020], [2022, np.nan], [np.nan, 2023]]
    np.testing.assert_array_equal(found.lows, expected)
    np.testing.assert_array_equal(found.highs, expected)


def test_a_median_that_may_be_anything_takes_no_part():
    unknown = MonthlyMedian(2021, 4, -inf, inf, 2)
    found = season_table([*medians((2019, 4), (2020, 4)), unknown], 2)
    assert found.years == (2019, 2020)
    assert not found.holds(unknown)


def course(text):
    """Read "2019 c, 2020 c m": a reading by each kit, in the order of the months of the year."""
    found = []
    for year in text.split(", "):
        number, *methods = year.split()
        found += [
            Observation(date(int(number), 1 + month, 1), 1, 1, kit) for month, kit in enumerate(methods)
        ]
    return found


@pytest.mark.parametrize(
    ("kits", "method", "kept", "left_out"),
    [
        ("2019 c c, 2020 c", "c", 3, {}),
        # the kit was changed between two years, and within a year
        ("2018 c c, 2019 c c, 2020 m m, 2021 m", "m", 3, {"c": 4}),
        ("2019 c c, 2020 c m, 2021 m m", "m", 3, {"c": 3}),
        # an old kit that came back is the same kind, but the run is the newest one
        ("2018 c c, 2019 m m, 2020 c c", "c", 2, {"c": 2, "m": 2}),
        # one reading by another kit, and two schools with a kit each, do not end a run
        ("2018 c c c, 2019 c m c, 2020 c c c", "c", 8, {"m": 1}),
        ("2018 m c, 2019 m c, 2020 m c", "c", 3, {"m": 3}),
    ],
)
def test_only_the_newest_run_of_one_kind_of_kit_is_compared(kits, method, kept, left_out):
    found = newest_run(course(kits))
    assert (found.method, len(found.observations), found.left_out) == (method, kept, left_out)
    assert {one.method for one in found.observations} == {method}


def test_the_kind_of_kit_is_the_commonest_of_the_newest_month_and_of_equals_the_newest():
    def newest_month(*methods):
        days = [Observation(date(2024, 5, 1 + day), 1, 1, kit) for day, kit in enumerate(methods)]
        return newest_run([*course("2023 c c"), *days]).method

    assert newest_month("m", "m", "c") == "m"
    assert newest_month("m", "c") == "c"
    assert newest_month("c", "m") == "m"
