"""Eleven summers of E. coli at three sites of the volunteers, beside means worked out from the file itself.

They took two or three samples in thirty days, so nothing can be told beside the criteria for bathing.
"""

import math
from collections.abc import Iterator
from datetime import date, timedelta
from statistics import median
from typing import Any

import pytest
from fastapi.testclient import TestClient
from scipy import stats

from service.app import create_app
from service.core.migrate import upgrade
from service.core.settings import Settings
from service.schools.tables import Role
from tests.api import Api, Json
from tests.databases import new_sqlite, spare_the_disk
from tests.real_input.class_files import ABSENT, grouped, rows_of
from tests.real_input.volunteers import CEILING, READINGS_FILE, SITES_FILE, ZONE, site_of, visit_key, visit_of

SITES = ("BB010", "PL040", "M010")  # at the first no tray was ever full
ROUNDED_CEILING = 2419.2
Samples = list[tuple[date, float]]


@pytest.fixture(scope="module")
def released(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Api, dict[str, Samples]]]:
    """The service with the timed rows of three sites, and from the file the counts of what was released."""
    url = new_sqlite(tmp_path_factory.mktemp("bacteria"))
    upgrade(url)
    with TestClient(create_app(Settings(database_url=url)), raise_server_exceptions=False) as client:
        api = Api(client, client.app.state.engine)
        spare_the_disk(api.engine)
        api.keys["coordinator"] = api.key(Role.COORDINATOR)
        school = {"code": "volunteers", "name": "River Volunteers", "time_zone": ZONE}
        assert api.post("/v1/schools", school).status_code == 201
        api.keys["volunteers"] = api.key(Role.SCHOOL, "volunteers")
        for row in rows_of(SITES_FILE):
            if row["Site_Name"] in SITES:
                assert api.post("/v1/sites", site_of(row)).status_code == 201
        counts: dict[str, Samples] = {site: [] for site in SITES}
        rows = [row for row in rows_of(READINGS_FILE) if row["Site"] in SITES and row["Time"] != ABSENT]
        for of_visit in sorted(
            grouped(rows, visit_key).values(), key=lambda found: visit_of(found)["observed_at"]
        ):
            answer = api.post("/v1/visits", visit_of(of_visit), "volunteers").json()
            read = [float(row["Ecoli"]) for row in of_visit if row["Ecoli"] != ABSENT]
            if answer["state"] == "released" and answer["kind"] == "routine" and read and counts_for(answer):
                counts[of_visit[0]["Site"]].append((date.fromisoformat(of_visit[0]["Date"]), median(read)))
        yield api, counts


def counts_for(answer: Json) -> bool:
    return all(
        one["flag"] <= 2 for one in answer["readings"] if one["parameter"] == "e_coli" and one["value"]
    )


def is_full(count: float) -> bool:
    return count in (CEILING, ROUNDED_CEILING)


@pytest.mark.parametrize("site", SITES)
def test_mean_and_shares_are_those_of_the_file(released: tuple[Api, dict[str, Samples]], site: str) -> None:
    api, samples = released
    found: Any = api.get(f"/v1/sites/{site.lower()}/bacteria").json()
    counts = [count for _, count in samples[site]]
    full = sum(map(is_full, counts))
    print(f"\n{site}: {len(counts)} samples, {full} full trays, {found['whole']['geometric_mean']['text']}")
    assert found["whole"]["samples"] == len(counts) >= 50
    mean = found["whole"]["geometric_mean"]
    assert mean["value"] == pytest.approx(stats.gmean(counts), rel=1e-5)
    assert mean["mark"] == (">=" if full else "exact")
    assert (mean["high"] is None) == bool(full)
    for share in found["whole"]["shares"]:
        above = sum(count > share["above"] for count in counts)
        assert (share["at_least"], share["at_most"]) == (above, above)


def test_the_sites_are_with_and_without_full_trays(released: tuple[Api, dict[str, Samples]]) -> None:
    full = {site: sum(is_full(count) for _, count in found) for site, found in released[1].items()}
    assert full["BB010"] == 0
    assert min(full["PL040"], full["M010"]) >= 5


@pytest.mark.parametrize("site", SITES)
def test_the_fitted_mean_is_the_highest_point_of_the_likelihood(
    released: tuple[Api, dict[str, Samples]], site: str
) -> None:
    # scipy.stats.CensoredData with norm.fit: maximum likelihood of right-censored logarithms
    api, samples = released
    counts = [count for _, count in samples[site]]
    logs = stats.CensoredData(
        uncensored=[math.log(count) for count in counts if not is_full(count)],
        right=[math.log(count) for count in counts if is_full(count)],
    )
    mean, deviation = stats.norm.fit(logs)
    model = api.get(f"/v1/sites/{site.lower()}/bacteria").json()["whole"]["model"]
    assert (model["log_mean"], model["log_sd"]) == pytest.approx((mean, deviation), abs=2e-4)
    assert model["value"] >= stats.gmean(counts) * (1 - 1e-6)


@pytest.mark.parametrize("site", SITES)
def test_every_thirty_days_hold_the_samples_of_the_file(
    released: tuple[Api, dict[str, Samples]], site: str
) -> None:
    api, samples = released
    windows = api.get(f"/v1/sites/{site.lower()}/bacteria").json()["windows"]
    assert [row["to_date"] for row in windows] == sorted({on.isoformat() for on, _ in samples[site]})
    for row in windows:
        last = date.fromisoformat(row["to_date"])
        inside = [count for on, count in samples[site] if last - timedelta(days=29) <= on <= last]
        assert row["samples"] == len(inside)
        assert row["geometric_mean"]["value"] == pytest.approx(stats.gmean(inside), rel=1e-4)
        assert row["samples"] < 5
        assert {statement["together"] for statement in row["statements"]} == {"cannot tell"}
