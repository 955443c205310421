"""What was measured last: a row for every site, the newest released value, its age, and nulls where none."""

from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from service.reference.load import load_catalogue
from tests.api import Api, reading, visit


def reading_of(row: dict[str, Any], parameter: str) -> dict[str, Any]:
    return next(one for one in row["readings"] if one["parameter"] == parameter)


def ph(value: float) -> dict[str, Any]:
    return reading("ph", value, kit="ph-meter")


def days_ago(days: int, hour: int = 10) -> str:
    on = datetime.now(ZoneInfo("America/New_York")).date() - timedelta(days=days)
    return f"{on}T{hour:02}:00:00-05:00"


@pytest.fixture
def visited(api: Api) -> Api:
    """reed-02: pH three times, temperature only long ago, the newest visit held. fern-01: one visit."""
    alkalinity = reading("alkalinity", 80, "mg/L as CaCO3", kit="alkalinity-drop-count")
    api.submit(visit("reed-02", days_ago(40), readings=[ph(7.1), alkalinity]))
    api.submit(visit("reed-02", days_ago(12, 9), readings=[ph(7.3)]))
    api.submit(visit("reed-02", days_ago(12, 8), readings=[ph(7.2)]))
    held = api.submit(visit("reed-02", days_ago(2), readings=[ph(15)]))
    assert held["state"] == "held"
    api.submit(
        visit("fern-01", days_ago(1), readings=[reading("nitrate", 0, "mg/L as NO3", kit="nitrate-strip")]),
        "otter",
    )
    return api


def test_every_site_has_a_row_also_one_that_nobody_has_visited(visited: Api) -> None:
    rows = {row["site"]: row for row in visited.every("/v1/sites/latest?limit=2")}
    assert list(rows) == ["fern-01", "reed-01", "reed-02"]
    assert (rows["reed-01"]["last_visit_on"], rows["reed-01"]["age_days"]) == (None, None)
    assert {one["value"] for one in rows["reed-01"]["readings"]} == {None}
    assert rows["fern-01"]["age_days"] == 1


def test_the_newest_released_value_of_each_parameter_counts_with_its_age(visited: Api) -> None:
    row = visited.every("/v1/sites/latest?stream=reed")[1]
    assert (row["site"], row["age_days"]) == ("reed-02", 12)
    newest, old = reading_of(row, "ph"), reading_of(row, "alkalinity")
    assert (newest["unit"], newest["age_days"]) == ("std units", 12)
    assert (old["value"], old["unit"], old["age_days"]) == (80, "mg/L as CaCO3", 40)
    listed = visited.every("/v1/readings?site=reed-02&parameter=ph&state=released")
    # Two visits of that day: the ids decide, for which came at the later hour is not public.
    same_day = {
        one["visit_id"]: one["value"] for one in listed if one["observed_on"] == newest["observed_on"]
    }
    assert set(same_day.values()) == {7.2, 7.3}
    assert (newest["visit_id"], newest["value"]) == max(same_day.items())


def test_a_value_below_what_the_kit_shows_keeps_its_mark(visited: Api) -> None:
    (row,) = visited.every("/v1/sites/latest?stream=fern&parameter=nitrate")
    (found,) = row["readings"]
    listed = visited.every("/v1/readings?site=fern-01")[0]
    for name in ("value", "unit", "censored", "low", "high", "flag"):
        assert found[name] == listed[name], name
    assert found["censored"] == "<"


def test_all_parameters_come_unless_some_are_named(visited: Api) -> None:
    every = sorted(load_catalogue().parameters)
    for row in visited.every("/v1/sites/latest"):
        assert [one["parameter"] for one in row["readings"]] == every
    for row in visited.every("/v1/sites/latest?parameter=ph,chloride"):
        assert [one["parameter"] for one in row["readings"]] == ["chloride", "ph"]
        assert reading_of(row, "chloride") | {"unit": "mg/L"} == {
            "parameter": "chloride", "unit": "mg/L", "value": None, "censored": None, "low": None,
            "high": None, "flag": None, "observed_on": None, "age_days": None, "visit_id": None,
        }  # fmt: skip


def test_everybody_reads_the_same_of_what_is_released(visited: Api) -> None:
    public = visited.every("/v1/sites/latest")
    for key in ("heron", "reader", "coordinator"):
        rows = visited.every("/v1/sites/latest", key)
        assert [row["readings"] for row in rows] == [row["readings"] for row in public]


def test_places_are_as_exact_as_the_asker_may_see_them(visited: Api) -> None:
    for key, latitude in ((None, 40.123), ("otter", 40.123), ("heron", 40.123456)):
        row = visited.every("/v1/sites/latest?stream=reed", key)[1]
        assert row["latitude"] == latitude


def test_the_filters_of_sites_are_kept_over_the_pages(visited: Api) -> None:
    rows = visited.every("/v1/sites/latest?watershed=0207&school=otter&limit=1")
    assert [row["site"] for row in rows] == ["reed-01"]
    first = visited.get("/v1/sites/latest?watershed=0207&parameter=ph&limit=1").json()
    assert "parameter=ph" in first["next"]


@pytest.mark.parametrize(
    "query", ["parameter=", "parameter=ph,colour", "parameter=ph;chloride", "watershed=9x"]
)
def test_what_is_not_known_is_refused(empty_api: Api, query: str) -> None:
    assert empty_api.get(f"/v1/sites/latest?{query}").status_code == 400


def test_the_tag_of_an_answer_that_counts_days_to_today_names_the_time(visited: Api) -> None:
    assert "etag" not in visited.get("/v1/coverage").headers
    tags = {visited.get("/v1/sites/latest").headers["etag"] for _ in range(3)}
    assert len(tags) <= 2  # two where a quarter of an hour has just begun
