"""How often sites are visited: by ISO week, and which wait for a visit."""

from datetime import date

import pytest

from tests.api import Api, reading, visit


@pytest.fixture
def visited(api: Api) -> Api:
    """reed-02 at the turn of a year and later; fern-01 once before; reed-01 never; a held visit between."""
    for on in ("2025-12-29", "2026-01-04", "2026-01-05", "2026-01-31"):
        api.submit(visit("reed-02", f"{on}T10:00:00-05:00"))
    api.submit(visit("fern-01", "2025-12-01T10:00:00-05:00"), "otter")
    held = api.submit(visit("fern-01", "2026-01-20T10:00:00-05:00", readings=[reading("ph", 15)]), "otter")
    assert held["state"] == "held"
    return api


def test_visits_are_counted_by_iso_week(visited: Api) -> None:
    # ISO 8601: week 1 of 2026 is the week of the year's first Thursday, 29 December 2025 to 4 January 2026.
    answer = visited.get("/v1/coverage?from=2025-12-29&to=2026-02-01").json()
    rows = {row["site"]: row for row in answer["items"]}
    assert answer["weeks"] == 5
    assert rows["reed-02"]["weeks"] == [
        {"week": "2026-W01", "begins_on": "2025-12-29", "visits": 2},
        {"week": "2026-W02", "begins_on": "2026-01-05", "visits": 1},
        {"week": "2026-W05", "begins_on": "2026-01-26", "visits": 1},
    ]
    assert (rows["reed-02"]["visits"], rows["reed-02"]["weeks_with_visits"]) == (4, 3)
    assert (rows["fern-01"]["visits"], rows["fern-01"]["weeks"]) == (0, [])


@pytest.mark.parametrize(
    ("to", "overdue_days", "overdue"),
    [
        ("2026-02-01", 21, {"fern-01", "reed-01"}),
        ("2026-02-21", 21, {"fern-01", "reed-01"}),  # 21 days after the last visit: not more than 21
        ("2026-02-22", 21, {"fern-01", "reed-01", "reed-02"}),
        ("2026-02-01", 62, {"reed-01"}),
        ("2026-02-01", 61, {"fern-01", "reed-01"}),
        ("2026-01-10", 3, {"fern-01", "reed-01", "reed-02"}),
        ("2024-09-10", 21, set()),  # nine days after the sites were established
        ("2024-09-23", 21, {"fern-01", "reed-01", "reed-02"}),
    ],
)
def test_a_site_is_overdue_after_more_days_than_are_allowed(
    visited: Api, to: str, overdue_days: int, overdue: set[str]
) -> None:
    query = f"/v1/coverage?from=2024-09-01&to={to}&overdue_days={overdue_days}"
    answer = visited.get(query).json()
    assert {row["site"] for row in answer["items"] if row["is_overdue"]} == overdue
    assert (answer["sites"], answer["sites_overdue"]) == (3, len(overdue))
    assert {row["site"] for row in visited.every(f"{query}&overdue=true&limit=1")} == overdue


def test_each_row_says_when_the_last_visit_was_and_what_to_do(visited: Api) -> None:
    answer = visited.get("/v1/coverage?from=2026-01-20&to=2026-02-01").json()
    rows = {row["site"]: row for row in answer["items"]}
    last = {site: (row["last_visit_on"], row["days_without_visit"]) for site, row in rows.items()}
    assert last == {"fern-01": ("2025-12-01", 62), "reed-01": (None, None), "reed-02": ("2026-01-31", 1)}
    assert "62 days" in rows["fern-01"]["text"]
    assert "more than 21" in rows["fern-01"]["text"]
    assert "no released visit yet" in rows["reed-01"]["text"]
    assert "recent enough" in rows["reed-02"]["text"]


def test_without_dates_it_is_about_the_twelve_weeks_up_to_today(visited: Api) -> None:
    answer = visited.get("/v1/coverage").json()
    since, until = date.fromisoformat(answer["from_date"]), date.fromisoformat(answer["to_date"])
    assert (until - since).days + 1 == 12 * 7
    assert abs((until - date.today()).days) <= 1
    assert answer["weeks"] in (12, 13)


def test_the_filters_of_sites_choose_the_rows_and_the_counts(visited: Api) -> None:
    answer = visited.get("/v1/coverage?watershed=0207&to=2026-02-01&from=2026-01-01&school=heron").json()
    assert [row["site"] for row in answer["items"]] == ["reed-02"]
    assert (answer["sites"], answer["sites_overdue"]) == (1, 0)
    assert visited.get("/v1/coverage?stream=none").json()["sites_overdue"] == 0


@pytest.mark.parametrize(
    "query", ["overdue_days=0", "overdue_days=x", "overdue=yes", "from=2026-02-02&to=2026-02-01", "x=1"]
)
def test_what_makes_no_sense_is_refused(empty_api: Api, query: str) -> None:
    assert empty_api.get(f"/v1/coverage?{query}").status_code == 400
