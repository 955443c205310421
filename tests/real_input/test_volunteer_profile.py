"""The volunteers' main river, site by site: what its profile says, and one reach of it worked out again.

The file holds no distance from the mouth. The sites are put in the order that the numbers in their codes
give, the lowest at the mouth; these numbers are an order and no kilometres. Rows of the main river alone are
handed in, so what the checks know of a week comes from the main river alone. The file names no kit but that
of the bacteria. ``-s`` shows the table.
"""

from collections import defaultdict
from collections.abc import Iterator
from itertools import combinations_with_replacement, pairwise
from statistics import median

import numpy as np
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
from tests.real_input.volunteers import READINGS_FILE, SITES_FILE, ZONE, site_of, visit_key, visit_of

STREAM = "main-river"
PROFILE = f"/v1/streams/{STREAM}/profile"


def is_main_river(code: str) -> bool:
    return code.startswith("P") and code[1:].isdigit()


@pytest.fixture(scope="module")
def river(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Api]:
    rows = {
        key: of_visit
        for key, of_visit in grouped(rows_of(READINGS_FILE), visit_key).items()
        if is_main_river(of_visit[0]["Site"]) and of_visit[0]["Time"] != ABSENT
    }
    url = new_sqlite(tmp_path_factory.mktemp("river"))
    upgrade(url)
    with TestClient(create_app(Settings(database_url=url)), raise_server_exceptions=False) as client:
        api = Api(client, client.app.state.engine)
        spare_the_disk(api.engine)
        api.keys["coordinator"] = api.key(Role.COORDINATOR)
        school = {"code": "volunteers", "name": "River Volunteers", "time_zone": ZONE}
        assert api.post("/v1/schools", school).status_code == 201
        api.keys["volunteers"] = api.key(Role.SCHOOL, "volunteers")
        for row in rows_of(SITES_FILE):
            if is_main_river(row["Site_Name"]):
                place = {"stream": STREAM, "stream_km": float(row["Site_Name"][1:])}
                assert api.post("/v1/sites", site_of(row) | place).status_code == 201
        for body in sorted(map(visit_of, rows.values()), key=lambda body: body["observed_at"]):
            assert api.post("/v1/visits", body, "volunteers").status_code == 201
        yield api


@pytest.fixture(scope="module")
def profiles(river: Api) -> dict[str, Json]:
    answer = river.get(PROFILE)
    assert answer.status_code == 200, answer.text
    print(f"\n{answer.json()['text']}")
    found = {one["parameter"]: one for one in answer.json()["profiles"]}
    for parameter, one in found.items():
        print_profile(parameter, one)
    return found


def print_profile(parameter: str, one: Json) -> None:
    print(f"\n{parameter} [{one['unit']}]: {one['text']}")
    print(
        "  " + ", ".join(f"{site['site']} {site['median']['text']} ({site['days']})" for site in one["sites"])
    )
    for reach in one["reaches"]:
        way = f"{reach['upstream']} to {reach['downstream']}"
        days = f"{reach['days_higher_downstream']}+ {reach['days_lower_downstream']}-"
        print(f"  {way} {reach['paired_days']:>3} days {days:>8} {reach['verdict']:<25}", end=" ")
        if reach["change"]:
            bounds = reach["change"]["bounds"]["text"]
            print(f"{reach['change']['middle']['text']} ({bounds}), p {reach['adjusted_p']:.2g}", end="")
        print()


def reach_of(profile: Json, upstream: str, downstream: str) -> Json:
    return next(
        one for one in profile["reaches"] if (one["upstream"], one["downstream"]) == (upstream, downstream)
    )


def values_by_day(river: Api, site: str, parameter: str) -> dict[str, float]:
    """Return the median of what everybody may read of a site, day by day; of ">" a limit the limit."""
    found: defaultdict[str, list[Json]] = defaultdict(list)
    for row in river.every(f"/v1/readings?site={site}&parameter={parameter}&limit=1000"):
        if row["flag"] in (1, 2) and row["value"] is not None:
            found[row["observed_on"]].append(row)
    return {day: median(row["value"] for row in rows) for day, rows in found.items()}


def differences(river: Api, upstream: str, downstream: str, parameter: str) -> list[float]:
    upper, lower = (values_by_day(river, site, parameter) for site in (upstream, downstream))
    return [round(lower[day] - upper[day], 9) for day in sorted(upper.keys() & lower.keys())]


def test_reaches_follow_each_other_from_the_headwater_to_the_mouth(profiles: dict[str, Json]) -> None:
    assert set(profiles) == {"water_temperature", "dissolved_oxygen", "dissolved_oxygen_saturation", "e_coli"}
    for one in profiles.values():
        sites = [site["site"] for site in one["sites"]]
        assert sites == sorted(sites, reverse=True)
        assert one["reaches"][0]["upstream"] == sites[0]
        assert one["reaches"][-1]["downstream"] == sites[-1]
        for upper, lower in pairwise(one["reaches"]):
            assert upper["downstream"] == lower["upstream"]


def test_two_sites_of_one_summer_do_not_hide_what_lies_around_them(profiles: dict[str, Json]) -> None:
    # p145 and p140 were read on five or six mornings of 2010, the sites above and below for eight years.
    reach = reach_of(profiles["e_coli"], "p150", "p135")
    assert reach["over"] == ["p145", "p140"]
    assert reach["paired_days"] > 40


def test_bacteria_rise_in_one_reach_as_worked_out_with_scipy(river: Api, profiles: dict[str, Json]) -> None:
    changing = [one for one in profiles["e_coli"]["reaches"] if one["verdict"] == "changes here"]
    (reach,) = changing
    assert (reach["upstream"], reach["downstream"]) == ("p150", "p135")
    found = differences(river, "p150", "p135", "e_coli")
    higher, lower = sum(one > 0 for one in found), sum(one < 0 for one in found)
    assert (reach["paired_days"], reach["days_higher_downstream"]) == (len(found), higher)
    # On two days the lower site is over the ceiling of the method: a sign and no number.
    assert reach["signed_rank_p"] is None
    assert reach["p"] == pytest.approx(stats.binomtest(higher, higher + lower).pvalue, rel=1e-9)
    assert stats.wilcoxon(found).pvalue < 1e-4
    means = [sum(two) / 2 for two in combinations_with_replacement(found, 2)]
    assert reach["change"]["middle"]["low"] == pytest.approx(median(means), abs=0.1)


def test_a_reach_of_few_days_as_every_permutation_of_scipy(river: Api, profiles: dict[str, Json]) -> None:
    reach = reach_of(profiles["dissolved_oxygen"], "p050", "p030")
    found = differences(river, "p050", "p030", "dissolved_oxygen")
    expected = stats.wilcoxon(found, method=stats.PermutationMethod(n_resamples=np.inf))
    assert len(found) == reach["paired_days"]
    assert reach["signed_rank_p"] == pytest.approx(expected.pvalue, rel=1e-9)


def test_tenths_of_a_degree_that_no_thermometer_vouches_for_are_no_change(profiles: dict[str, Json]) -> None:
    reach = reach_of(profiles["water_temperature"], "p030", "p020")
    assert reach["adjusted_p"] < 0.05
    assert reach["verdict"] == "smaller than one kit step"
    assert {one["verdict"] for one in profiles["water_temperature"]["reaches"]} <= {
        "no change shown",
        "not enough days",
        "smaller than one kit step",
    }


def oxygen_written_to_tenths(site: str, years: range) -> float:
    written = [
        row["DO"]
        for row in rows_of(READINGS_FILE)
        if row["Site"] == site and int(row["Year"]) in years and row["DO"] != ABSENT and row["Time"] != ABSENT
    ]
    return sum(len(text.partition(".")[2]) <= 1 for text in written) / len(written)


def test_a_change_that_is_the_instruments_is_told_with_that_doubt(
    river: Api, profiles: dict[str, Json]
) -> None:
    # To 2013 oxygen stands at p135 to tenths and at p110 to hundredths: two instruments. In 2017 both have
    # hundredths, and the difference is gone. The file does not say with what anybody read.
    assert oxygen_written_to_tenths("P135", range(2009, 2014)) > 0.95
    assert oxygen_written_to_tenths("P110", range(2009, 2014)) < 0.25
    assert oxygen_written_to_tenths("P135", range(2017, 2018)) < 0.25
    whole = profiles["dissolved_oxygen"]
    assert reach_of(whole, "p135", "p110")["verdict"] == "changes here"
    assert "two different instruments would look just the same" in whole["text"]
    answer = river.get(f"{PROFILE}?parameter=dissolved_oxygen&from=2014-01-01").json()
    (later,) = answer["profiles"]
    reach = reach_of(later, "p135", "p110")
    print_profile("dissolved_oxygen from 2014", later)
    assert reach["paired_days"] >= 8
    assert reach["verdict"] == "no change shown"
