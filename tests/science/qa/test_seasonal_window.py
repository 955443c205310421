from datetime import date, timedelta

import pytest

from service.science.qa.seasonal_window import one_a_day, season_distance_days, seasonal_references
from service.science.types import PastReading

WINDOWS = (30, 45, 60)


@pytest.mark.parametrize(
    ("first", "second", "days"),
    [
        # counted on a calendar; a circle of 365 days
        (date(2026, 5, 14), date(2026, 5, 14), 0),
        (date(2026, 5, 14), date(2024, 5, 14), 1),  # day 134 and, after a leap day, 135
        (date(2026, 1, 10), date(2025, 12, 20), 21),
        (date(2025, 12, 20), date(2026, 1, 10), 21),
        (date(2026, 1, 1), date(2026, 7, 2), 182),
        (date(2026, 1, 1), date(2026, 7, 4), 181),
        (date(2024, 2, 29), date(2026, 3, 1), 0),  # both day 60
        (date(2024, 2, 29), date(2026, 2, 28), 1),
        (date(2024, 12, 31), date(2027, 1, 1), 0),  # day 366 falls on day 1
        (date(2024, 12, 31), date(2026, 12, 31), 1),
    ],
)
def test_distance_in_the_year(first, second, days):
    assert season_distance_days(first, second) == days
    assert season_distance_days(second, first) == days


def past(on, *days_before):
    return [PastReading(on - timedelta(days=days), float(days), None) for days in days_before]


@pytest.mark.parametrize(
    ("days_before", "found", "window"),
    [
        ([7, 14, 21, 28, 35, 42, 49, 56], 8, 60),
        ([1, 2, 3, 4, 5, 6, 7, 8, 40], 8, 30),  # exactly 8 within 30 days: stops there
        ([1, 2, 3, 4, 5, 6, 7, 40, 50], 8, 45),
        ([30, 30, 30, 30, 30, 30, 30, 30], 8, 30),  # the edge belongs to the window
        ([31, 31, 31, 31, 31, 31, 31, 31], 8, 45),
        ([60, 61], 1, 60),
        ([], 0, 60),
    ],
)
def test_the_window_widens_until_it_holds_enough(days_before, found, window):
    on = date(2026, 5, 14)
    references, used = seasonal_references(past(on, *days_before), on, WINDOWS, minimum=8)
    assert (len(references), used) == (found, window)


def test_other_years_count_and_other_seasons_do_not():
    on = date(2026, 5, 14)
    readings = past(on, 365, 2 * 365, 180, 365 + 180)
    references, _ = seasonal_references(readings, on, WINDOWS, minimum=8)
    assert [reading.value for reading in references] == [365.0, 730.0]


def test_the_day_itself_and_later_days_do_not_count():
    on = date(2026, 5, 14)
    references, _ = seasonal_references(past(on, 0, -3, 1), on, WINDOWS, minimum=1)
    assert [reading.value for reading in references] == [1.0]


def test_the_season_reaches_across_new_year():
    on = date(2026, 1, 5)
    readings = [PastReading(date(2025, 12, 10), 1.0, None), PastReading(date(2024, 2, 3), 2.0, None)]
    assert seasonal_references(readings, on, WINDOWS, minimum=2) == (tuple(readings), 30)


def test_of_several_readings_of_a_day_the_middle_one_counts():
    def of_day(day, *values):
        return [PastReading(date(2026, 5, day), value, None) for value in values]

    kept = one_a_day(of_day(2, 9.0) + of_day(1, 3.0, 1.0, 2.0) + of_day(3, 8.0, 6.0))
    assert [(reading.on.day, reading.value) for reading in kept] == [(1, 2.0), (2, 9.0), (3, 6.0)]
