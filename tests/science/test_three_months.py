from datetime import date

import pytest

from service.science.three_months import season_of, seasons_of


@pytest.mark.parametrize(
    ("on", "name", "first", "last"),
    [
        # the meteorological seasons (common practice), read off a calendar
        ("2025-03-01", "2025 Mar-May", "2025-03-01", "2025-05-31"),
        ("2025-05-31", "2025 Mar-May", "2025-03-01", "2025-05-31"),
        ("2025-06-01", "2025 Jun-Aug", "2025-06-01", "2025-08-31"),
        ("2025-11-30", "2025 Sep-Nov", "2025-09-01", "2025-11-30"),
        ("2025-12-01", "2025/26 Dec-Feb", "2025-12-01", "2026-02-28"),
        ("2026-01-15", "2025/26 Dec-Feb", "2025-12-01", "2026-02-28"),
        ("2024-02-29", "2023/24 Dec-Feb", "2023-12-01", "2024-02-29"),
        ("2000-02-01", "1999/00 Dec-Feb", "1999-12-01", "2000-02-29"),
    ],
)
def test_season_of_a_date(on, name, first, last):
    found = season_of(date.fromisoformat(on))
    assert (found.name, found.first.isoformat(), found.last.isoformat()) == (name, first, last)


def test_seasons_of_dates_are_each_there_once_and_in_order():
    dates = map(date.fromisoformat, ("2026-01-02", "2025-07-01", "2025-12-31", "2025-07-09"))
    assert [season.name for season in seasons_of(dates)] == ["2025 Jun-Aug", "2025/26 Dec-Feb"]
